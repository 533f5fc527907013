// Radiance pictures (G. Ward, "The RADIANCE picture file format", in the program's own documentation): lines
// of variables, a blank line, the line of the resolution, pixels.
#include <array>
#include <charconv>
#include <opencv2/imgcodecs.hpp>
#include <string_view>

#include "raster/by_opencv.h"
#include "raster/decoders.h"

namespace powderplan {
namespace {

class Lines {
 public:
  explicit Lines(const PictureFile& file)
      : path_(file.path), rest_(reinterpret_cast<const char*>(file.bytes.data()), file.bytes.size()) {}
  std::string_view next() {
    const std::size_t end = rest_.find('\n');
    if (end == std::string_view::npos)
      refuse_cut_short(path_);
    const std::string_view line = rest_.substr(0, end);
    rest_.remove_prefix(end + 1);
    return line;
  }

 private:
  const std::filesystem::path& path_;
  std::string_view rest_;
};

// Takes a number off the front.
template <class T>
bool take_number(std::string_view& text, T& value) {
  const std::size_t begin = text.find_first_not_of(' ');
  if (begin == std::string_view::npos)
    return false;
  const auto [end, error] = std::from_chars(text.data() + begin, text.data() + text.size(), value);
  text.remove_prefix(static_cast<std::size_t>(end - text.data()));
  return error == std::errc();
}

// Rx Ry Gx Gy Bx By Wx Wy there; white first here.
void take_primaries(std::string_view text, ColourTag& colour) {
  std::array<double, 8> xy{};
  for (std::size_t i = 0; i < xy.size(); ++i) {
    if (!take_number(text, xy[(i + 2) % xy.size()]))
      return;
  }
  colour.chromaticities = xy;
}

void check_format(const PictureFile& file, std::string_view format) {
  if (format == "32-bit_rle_xyze")
    refuse_kind(file.path, "a Radiance HDR picture of XYZ samples");
  if (format != "32-bit_rle_rgbe")
    refuse_damaged(file.path, "its format is not RGBE");
}

}  // namespace

StoredPicture decode_radiance(const PictureFile& file, const PictureLimits& limits) {
  StoredPicture picture;
  Lines lines(file);
  std::string_view format;
  constexpr std::string_view format_key = "FORMAT=", primaries_key = "PRIMARIES=";
  for (std::string_view line = lines.next(); !line.empty(); line = lines.next()) {
    if (line.starts_with(format_key))
      format = line.substr(format_key.size());
    else if (line.starts_with(primaries_key))
      take_primaries(line.substr(primaries_key.size()), picture.colour);
  }
  check_format(file, format);
  std::string_view size = lines.next();
  if (size.starts_with("+Y ") || size.starts_with("+X ") || size.starts_with("-X ") ||
      size.find("-X ") != std::string_view::npos)
    refuse_kind(file.path, "a Radiance HDR picture stored sideways or upside down");
  std::uint32_t width = 0, height = 0;
  bool read = size.starts_with("-Y ");
  if (read) {
    size.remove_prefix(3);
    read = take_number(size, height) && size.starts_with(" +X ");
  }
  if (read) {
    size.remove_prefix(4);
    read = take_number(size, width);
  }
  if (!read)
    refuse_damaged(file.path, "its width and height are missing");
  check_size(file.path, width, height, limits);

  picture.width = static_cast<int>(width);
  picture.height = static_cast<int>(height);
  picture.kind = SampleKind::real;
  decode_by_opencv(file, file.bytes, OpenCvWants::file, cv::IMREAD_UNCHANGED, picture);
  cut_to_white(picture);
  return picture;
}

}  // namespace powderplan
