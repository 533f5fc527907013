// Picture files made for tests: written by OpenCV and the format libraries, with segments spliced in by hand.
#pragma once

#include <gtest/gtest.h>
#include <lcms2.h>
#include <unistd.h>
#include <zlib.h>

#include <cstdint>
#include <filesystem>
#include <fstream>
#include <functional>
#include <opencv2/imgcodecs.hpp>
#include <string>
#include <vector>

#include "colour/tristimulus.h"
#include "problem.h"
#include "raster/picture.h"

namespace powderplan::testing {

using FileBytes = std::vector<std::uint8_t>;

// A folder of its own for each test, gone when the test ends.
class Folder {
 public:
  Folder() {
    std::string name = (std::filesystem::temp_directory_path() / "powderplan-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr)
      throw std::runtime_error("no temporary folder");
    path_ = name;
  }
  ~Folder() { std::filesystem::remove_all(path_); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  [[nodiscard]] const std::filesystem::path& path() const { return path_; }
  [[nodiscard]] std::filesystem::path write(const std::string& name, const FileBytes& bytes) const {
    const auto file = path_ / name;
    std::ofstream(file, std::ios::binary)
        .write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
    return file;
  }

 private:
  std::filesystem::path path_;
};

inline FileBytes read_file(const std::filesystem::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

// Through a file, as a user would.
inline Picture read_bytes(const FileBytes& bytes, const PictureLimits& limits = {},
                          const std::string& name = "picture") {
  const Folder folder;
  return read_picture(folder.write(name, bytes), limits);
}

// The message without the folder's own name, or "" when nothing is wrong.
inline std::string message_of(const std::function<void()>& action, const std::filesystem::path& folder = {}) {
  try {
    action();
    return "";
  } catch (const Problem& problem) {
    std::string text = problem.what();
    const std::string prefix = folder.string() + "/";
    return !folder.empty() && text.starts_with(prefix) ? text.substr(prefix.size()) : text;
  }
}
inline std::string message_for(const FileBytes& bytes, const std::string& name,
                               const PictureLimits& limits = {}) {
  const Folder folder;
  const auto file = folder.write(name, bytes);
  return message_of([&] { read_picture(file, limits); }, folder.path());
}

inline FileBytes encoded(const std::string& extension, const cv::Mat& bgr,
                         const std::vector<int>& options = {}) {
  FileBytes bytes;
  if (!cv::imencode(extension, bgr, bytes, options))
    throw std::runtime_error("cannot encode " + extension);
  return bytes;
}

inline FileBytes operator+(FileBytes a, const FileBytes& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}
inline FileBytes bytes_of(std::string_view text) {
  return {text.begin(), text.end()};
}
inline FileBytes big_endian(std::uint32_t value) {
  return {static_cast<std::uint8_t>(value >> 24), static_cast<std::uint8_t>(value >> 16),
          static_cast<std::uint8_t>(value >> 8), static_cast<std::uint8_t>(value)};
}
inline FileBytes little_endian(std::uint32_t value) {
  const FileBytes b = big_endian(value);
  return {b.rbegin(), b.rend()};
}
inline FileBytes inserted(FileBytes bytes, std::size_t at, const FileBytes& what) {
  bytes.insert(bytes.begin() + static_cast<std::ptrdiff_t>(at), what.begin(), what.end());
  return bytes;
}
inline FileBytes shortened(const FileBytes& bytes, std::size_t by) {
  return {bytes.begin(), bytes.end() - static_cast<std::ptrdiff_t>(by)};
}

// PNG third edition, 5.3: length, type, data, CRC over type and data.
inline FileBytes png_chunk(std::string_view type, const FileBytes& data) {
  const FileBytes checked = bytes_of(type) + data;
  const auto crc = crc32(0, checked.data(), static_cast<uInt>(checked.size()));
  return big_endian(static_cast<std::uint32_t>(data.size())) + checked +
         big_endian(static_cast<std::uint32_t>(crc));
}
inline constexpr std::size_t after_ihdr = 33;
inline FileBytes png_with(const FileBytes& png, std::string_view type, const FileBytes& data) {
  return inserted(png, after_ihdr, png_chunk(type, data));
}
inline FileBytes iccp_data(const FileBytes& profile) {
  uLongf size = compressBound(static_cast<uLong>(profile.size()));
  FileBytes packed(size);
  compress(packed.data(), &size, profile.data(), static_cast<uLong>(profile.size()));
  packed.resize(size);
  return bytes_of(std::string_view("test\0\0", 6)) + packed;
}

// A JPEG segment, put right behind the start-of-image marker.
inline FileBytes jpeg_with(const FileBytes& jpeg, std::uint8_t marker, const FileBytes& data) {
  const std::size_t length = data.size() + 2;
  return inserted(
      jpeg, 2,
      FileBytes{0xff, marker, static_cast<std::uint8_t>(length >> 8), static_cast<std::uint8_t>(length)} +
          data);
}

// EXIF 2.3: a little-endian TIFF with the one entry 0x0112.
inline FileBytes exif_block(int orientation) {
  return bytes_of(std::string_view("II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\x01\0\0\0", 18)) +
         FileBytes{static_cast<std::uint8_t>(orientation), 0, 0, 0, 0, 0, 0, 0};
}

// WebP container specification: the extended format around a simple file's own chunk.
inline FileBytes webp_with(const FileBytes& simple, int width, int height, std::string_view name,
                           const FileBytes& data) {
  const auto chunk = [](std::string_view type, const FileBytes& body) {
    FileBytes out = bytes_of(type) + little_endian(static_cast<std::uint32_t>(body.size())) + body;
    if (body.size() % 2 != 0)
      out.push_back(0);
    return out;
  };
  const auto edge = [](int length) {
    return shortened(little_endian(static_cast<std::uint32_t>(length - 1)), 1);
  };
  const bool profile = name == "ICCP";
  const FileBytes flags{static_cast<std::uint8_t>(profile ? 0x20 : 0x08), 0, 0, 0};
  const FileBytes picture(simple.begin() + 12, simple.end());
  const FileBytes extra = chunk(name, data);
  const FileBytes body = bytes_of("WEBP") + chunk("VP8X", flags + edge(width) + edge(height)) +
                         (profile ? extra + picture : picture + extra);
  return bytes_of("RIFF") + little_endian(static_cast<std::uint32_t>(body.size())) + body;
}

inline FileBytes saved(cmsHPROFILE profile) {
  cmsUInt32Number size = 0;
  cmsSaveProfileToMem(profile, nullptr, &size);
  FileBytes bytes(size);
  cmsSaveProfileToMem(profile, bytes.data(), &size);
  cmsCloseProfile(profile);
  return bytes;
}
inline FileBytes srgb_profile() {
  return saved(cmsCreate_sRGBProfile());
}
// Display P3 (SMPTE EG 432-1 primaries, D65) with the curve of sRGB or a plain power.
inline FileBytes p3_profile(double gamma = 0) {
  const cmsCIExyY white{0.3127, 0.3290, 1};
  const cmsCIExyYTRIPLE primaries{{0.680, 0.320, 1}, {0.265, 0.690, 1}, {0.150, 0.060, 1}};
  const double srgb[5] = {2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045};
  cmsToneCurve* curve =
      gamma > 0 ? cmsBuildGamma(nullptr, gamma) : cmsBuildParametricToneCurve(nullptr, 4, srgb);
  cmsToneCurve* curves[3] = {curve, curve, curve};
  const auto profile = cmsCreateRGBProfile(&white, &primaries, curves);
  cmsFreeToneCurve(curve);
  return saved(profile);
}
inline FileBytes grey_profile(double gamma) {
  cmsToneCurve* curve = cmsBuildGamma(nullptr, gamma);
  const auto profile = cmsCreateGrayProfile(cmsD50_xyY(), curve);
  cmsFreeToneCurve(curve);
  return saved(profile);
}

inline void expect_pixel(const LinearPixel& pixel, const LinearRgb& colour, double tolerance) {
  EXPECT_NEAR(pixel.r, colour.r, tolerance);
  EXPECT_NEAR(pixel.g, colour.g, tolerance);
  EXPECT_NEAR(pixel.b, colour.b, tolerance);
}

}  // namespace powderplan::testing
