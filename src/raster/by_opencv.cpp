#include "raster/by_opencv.h"

#include <cstdlib>
#include <cstring>
#include <iostream>
#include <mutex>
#include <opencv2/core/utils/logger.hpp>
#include <opencv2/imgcodecs.hpp>
#include <streambuf>

namespace powderplan {
namespace {

namespace logging = cv::utils::logging;

// One at a time, as all of it belongs to the whole program.
class Quiet {
 public:
  Quiet() : lock_(mutex()), level_(logging::setLogLevel(logging::LOG_LEVEL_SILENT)) {
    cerr_ = std::cerr.rdbuf(&nothing_);
  }
  ~Quiet() {
    std::cerr.rdbuf(cerr_);
    logging::setLogLevel(level_);
  }
  Quiet(const Quiet&) = delete;
  Quiet& operator=(const Quiet&) = delete;

 private:
  class Nothing : public std::streambuf {
    int_type overflow(int_type c) override { return traits_type::not_eof(c); }
  };
  static std::mutex& mutex() {
    static std::mutex one;
    return one;
  }
  std::lock_guard<std::mutex> lock_;
  logging::LogLevel level_;
  Nothing nothing_;
  std::streambuf* cerr_ = nullptr;
};

// OpenCV (4.6) leaves OpenEXR off unless the environment says otherwise. What the user has set there stands.
void allow_openexr() {
  static const int done = setenv("OPENCV_IO_ENABLE_OPENEXR", "1", 0);
  static_cast<void>(done);
}

cv::Mat decoded(const PictureFile& file, Bytes bytes, OpenCvWants wants, int flags) {
  allow_openexr();
  const Quiet quiet;
  try {
    if (wants == OpenCvWants::file)
      return cv::imread(file.path.string(), flags);
    const cv::Mat buffer(1, static_cast<int>(bytes.size()), CV_8UC1, const_cast<std::uint8_t*>(bytes.data()));
    return cv::imdecode(buffer, flags);
  } catch (const cv::Exception&) {  // its own cap on sizes
    return {};
  }
}

int depth_of(SampleKind kind) {
  return kind == SampleKind::byte ? CV_8U : kind == SampleKind::word ? CV_16U : CV_32F;
}

}  // namespace

void decode_by_opencv(const PictureFile& file, Bytes bytes, OpenCvWants wants, int flags,
                      StoredPicture& picture) {
  const bool fits = wants == OpenCvWants::file || bytes.size() < (1u << 31);
  const cv::Mat mat = fits ? decoded(file, bytes, wants, flags) : cv::Mat();
  if (mat.cols != picture.width || mat.rows != picture.height || mat.channels() != picture.channels() ||
      mat.depth() != depth_of(picture.kind))
    refuse(file.path, "is damaged, cut short or of a rare variety", "export it again as PNG, TIFF or JPEG");
  picture.allocate();
  const std::size_t size = picture.sample_bytes();
  const std::size_t pixel = size * static_cast<std::size_t>(picture.channels());
  const bool rgb = picture.model == ColourModel::rgb;
  for (int y = 0; y < picture.height; ++y) {
    const std::uint8_t* from = mat.ptr<std::uint8_t>(y);
    std::uint8_t* to = picture.samples.data() + static_cast<std::size_t>(y) * picture.row_bytes();
    std::memcpy(to, from, picture.row_bytes());
    // Blue, green, red there.
    for (std::size_t at = 0; rgb && at < picture.row_bytes(); at += pixel) {
      std::memcpy(to + at, from + at + 2 * size, size);
      std::memcpy(to + at + 2 * size, from + at, size);
    }
  }
}

}  // namespace powderplan
