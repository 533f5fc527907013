// EXIF 2.3, tag 0x0112, in every kind of file that can carry it.
#include <array>

#include "raster/exif_orientation.h"
#include "raster/picture_files.h"

namespace powderplan::testing {
namespace {

constexpr int block = 16;  // so that JPEG leaves the middle of each letter alone

// Rows of letters "abc/def" as flat grey blocks.
std::uint8_t grey_of(char letter) {
  return static_cast<std::uint8_t>(20 + 40 * (letter - 'a'));
}

cv::Mat stored_picture() {
  const std::array<std::string, 2> rows{"abc", "def"};
  cv::Mat out(2 * block, 3 * block, CV_8UC3);
  for (int y = 0; y < out.rows; ++y) {
    for (int x = 0; x < out.cols; ++x) {
      const std::uint8_t g =
          grey_of(rows[static_cast<std::size_t>(y / block)][static_cast<std::size_t>(x / block)]);
      out.at<cv::Vec3b>(y, x) = {g, g, g};
    }
  }
  return out;
}

std::string letters_of(const Picture& picture) {
  std::string out;
  for (int y = block / 2; y < picture.pixels.height(); y += block) {
    if (!out.empty())
      out += '/';
    for (int x = block / 2; x < picture.pixels.width(); x += block) {
      const double code = 255 * srgb_encode(static_cast<double>(picture.pixels.at(x, y).g));
      out += static_cast<char>('a' + static_cast<int>(std::lround((code - 20) / 40)));
    }
  }
  return out;
}

// What the viewer should see when the file stores abc/def: value 6 says that row 0 is the right-hand side of
// the scene and column 0 its top, and so on.
const std::array<std::string, 9> seen{"abc/def",  "abc/def",  "cba/fed",  "fed/cba", "def/abc",
                                      "ad/be/cf", "da/eb/fc", "fc/eb/da", "cf/be/ad"};

class Orientation : public ::testing::TestWithParam<int> {
 protected:
  const std::string& expected() const {
    const int value = GetParam();
    return seen[static_cast<std::size_t>(value >= 1 && value <= 8 ? value : 1)];
  }
};

TEST_P(Orientation, OfJpeg) {
  const FileBytes exif = bytes_of(std::string_view("Exif\0\0", 6)) + exif_block(GetParam());
  EXPECT_EQ(letters_of(read_bytes(jpeg_with(encoded(".jpg", stored_picture()), 0xe1, exif))), expected());
}

TEST_P(Orientation, OfPng) {
  const FileBytes png = encoded(".png", stored_picture());
  EXPECT_EQ(letters_of(read_bytes(png_with(png, "eXIf", exif_block(GetParam())))), expected());
}

TEST_P(Orientation, OfPngWithExifBehindThePixels) {
  const FileBytes png = encoded(".png", stored_picture());
  const FileBytes late = inserted(png, png.size() - 12, png_chunk("eXIf", exif_block(GetParam())));
  EXPECT_EQ(letters_of(read_bytes(late)), expected());
}

TEST_P(Orientation, OfWebp) {
  const cv::Mat stored = stored_picture();
  const FileBytes webp =
      webp_with(encoded(".webp", stored), stored.cols, stored.rows, "EXIF", exif_block(GetParam()));
  EXPECT_EQ(letters_of(read_bytes(webp)), expected());
}

// 0 and 9 mean nothing and count as upright.
INSTANTIATE_TEST_SUITE_P(AllValues, Orientation, ::testing::Range(0, 10));

TEST(ExifOrientation, NonsenseIsUpright) {
  EXPECT_EQ(exif_orientation({}), 1);
  const FileBytes zeros(40, 0);
  EXPECT_EQ(exif_orientation(zeros), 1);
  const FileBytes block_of_6 = exif_block(6);
  EXPECT_EQ(exif_orientation(block_of_6), 6);
  for (std::size_t size = 0; size + 8 < block_of_6.size(); ++size)
    EXPECT_EQ(exif_orientation(Bytes(block_of_6).first(size)), 1) << size;
}

}  // namespace
}  // namespace powderplan::testing
