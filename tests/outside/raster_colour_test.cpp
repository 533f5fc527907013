// Our colour conversion against LittleCMS's own full transform, and published pictures read back.
#include <gtest/gtest.h>
#include <lcms2.h>
#include <png.h>

#include <cmath>

#include "outside/programs.h"
#include "places.h"
#include "raster/icc_profile.h"
#include "raster/picture_files.h"
#include "raster/to_linear.h"

namespace powderplan::testing {
namespace {

std::filesystem::path data(const std::string& name) {
  return std::filesystem::path(test_data_folder()) / "pictures" / name;
}

// 9 x 9 x 9 colours through LittleCMS as floats, and the same through our curves and matrix.
double largest_difference(const FileBytes& bytes) {
  const auto profile = IccProfile::open(bytes);
  const auto space = profile->curves(256);
  EXPECT_TRUE(space.has_value());
  double largest = 0;
  for (int i = 0; i < 729; ++i) {
    const std::array<int, 3> code{i % 9 * 31, i / 9 % 9 * 31, i / 81 * 31};
    std::array<float, 3> device, theirs;
    for (std::size_t c = 0; c < 3; ++c)
      device[c] = static_cast<float>(code[c]) / 255.0f;
    profile->transform(device.data(), theirs.data(), 1);
    for (std::size_t row = 0; row < 3; ++row) {
      double ours = 0;
      for (std::size_t c = 0; c < 3; ++c)
        ours += space->matrix[3 * row + c] *
                static_cast<double>(space->curves[c][static_cast<std::size_t>(code[c])]);
      largest = std::max(largest, std::abs(ours - static_cast<double>(theirs[row])));
    }
  }
  return largest;
}

TEST(ColourOutside, CurvesAndMatrixAreLittleCmsTransform) {
  EXPECT_LT(largest_difference(p3_profile()), 5e-5);
  EXPECT_LT(largest_difference(p3_profile(2.2)), 5e-5);
  // Here the matrix is held to be unity exactly, so the profile's own rounding to s15.16 shows.
  EXPECT_LT(largest_difference(srgb_profile()), 5e-4);
}

TEST(ColourOutside, SrgbIsLittleCmsSrgb) {
  const auto profile = IccProfile::open(srgb_profile());
  const CurvesAndMatrix ours = srgb_curves(256);
  for (int code = 0; code < 256; ++code) {
    const float share = static_cast<float>(code) / 255.0f;
    const std::array<float, 3> device{share, share, share};
    std::array<float, 3> theirs;
    profile->transform(device.data(), theirs.data(), 1);
    for (const float value : theirs)
      EXPECT_NEAR(ours.curves[0][static_cast<std::size_t>(code)], value, 1e-4) << code;
  }
}

// PngSuite's 16-bit pictures state gamma 1.0; the reference is libpng's own simplified reader, which turns
// such files into linear 16-bit samples.
TEST(PictureOutside, PngSuiteAsLibpngReadsIt) {
  for (const char* name : {"basn0g16.png", "basn2c16.png", "basn6a16.png", "basn3p08-trns.png"}) {
    SCOPED_TRACE(name);
    const Picture picture = read_picture(data(name));
    png_image image{};
    image.version = PNG_IMAGE_VERSION;
    ASSERT_NE(png_image_begin_read_from_file(&image, data(name).c_str()), 0);
    image.format = PNG_FORMAT_LINEAR_RGB_ALPHA;
    std::vector<std::uint16_t> theirs(PNG_IMAGE_SIZE(image) / 2);
    ASSERT_NE(png_image_finish_read(&image, nullptr, theirs.data(), 0, nullptr), 0);
    ASSERT_EQ(picture.pixels.width(), static_cast<int>(image.width));
    ASSERT_EQ(picture.pixels.height(), static_cast<int>(image.height));
    for (std::size_t i = 0; i < picture.pixels.size(); ++i) {
      const LinearPixel& p = picture.pixels[i];  // theirs is multiplied by alpha
      ASSERT_NEAR(p.r * p.alpha, theirs[4 * i] / 65535.0, 2e-3) << i;
      ASSERT_NEAR(p.g * p.alpha, theirs[4 * i + 1] / 65535.0, 2e-3) << i;
      ASSERT_NEAR(p.b * p.alpha, theirs[4 * i + 2] / 65535.0, 2e-3) << i;
      ASSERT_NEAR(p.alpha, theirs[4 * i + 3] / 65535.0, 1e-4) << i;
    }
  }
}

TEST(PictureOutside, APngWithExifReads) {
  const Picture picture = read_picture(data("exif2c08.png"));
  EXPECT_EQ(picture.pixels.width(), 32);
  EXPECT_EQ(picture.pixels.height(), 32);
}

// Pearson's r of all channels of two pictures.
double correlation(const Picture& a, const Picture& b) {
  double n = 0, sa = 0, sb = 0, saa = 0, sbb = 0, sab = 0;
  for (std::size_t i = 0; i < a.pixels.size(); ++i) {
    const LinearPixel &p = a.pixels[i], &q = b.pixels[i];
    for (const auto& [x, y] : {std::pair(p.r, q.r), {p.g, q.g}, {p.b, q.b}}) {
      const double u = static_cast<double>(x), v = static_cast<double>(y);
      n += 1, sa += u, sb += v, saa += u * u, sbb += v * v, sab += u * v;
    }
  }
  return (n * sab - sa * sb) / std::sqrt((n * saa - sa * sa) * (n * sbb - sb * sb));
}

// A published CMYK JPEG with Adobe's marker and no profile, beside the RGB picture that it was made from. The
// press it was separated for is not known (Pillow's conversion is 35 codes too dark on average), so the
// likeness is held by correlation: inks upside down would make it negative, inks exchanged far lower.
TEST(PictureOutside, CmykJpegLooksLikeItsOriginal) {
  const Picture ours = read_picture(data("cmyk.jpeg")), original = read_picture(data("cmyk_reference.png"));
  ASSERT_EQ(ours.pixels.width(), original.pixels.width());
  ASSERT_EQ(ours.pixels.height(), original.pixels.height());
  EXPECT_EQ(ours.notes.at(0), "CMYK without a usable colour profile: its colours are approximate");
  EXPECT_GT(correlation(ours, original), 0.95);
}

// Pillow applies the same simple rule, in 8 bits.
TEST(PictureOutside, CmykJpegAsPillowConvertsIt) {
  const Folder folder;
  const auto converted = folder.path() / "rgb.png";
  ASSERT_EQ(pillow("im.convert(\"RGB\").save(sys.argv[2])", data("cmyk.jpeg"), converted), "");
  const Picture ours = read_picture(data("cmyk.jpeg")), theirs = read_picture(converted);
  for (std::size_t i = 0; i < ours.pixels.size(); ++i) {
    const LinearPixel &a = ours.pixels[i], &b = theirs.pixels[i];
    const Rgb8 x =
        to_rgb8(LinearRgb{static_cast<double>(a.r), static_cast<double>(a.g), static_cast<double>(a.b)});
    const Rgb8 y =
        to_rgb8(LinearRgb{static_cast<double>(b.r), static_cast<double>(b.g), static_cast<double>(b.b)});
    ASSERT_NEAR(x.r, y.r, 1) << i;
    ASSERT_NEAR(x.g, y.g, 1) << i;
    ASSERT_NEAR(x.b, y.b, 1) << i;
  }
}

}  // namespace
}  // namespace powderplan::testing
