// Our PNG files read by programs that are not ours: pngcheck and Pillow.
#include <gtest/gtest.h>

#include "outside/programs.h"
#include "raster/picture_files.h"
#include "raster/png.h"
#include "raster/write_bytes.h"

namespace powderplan::testing {
namespace {

Image<std::uint16_t> some_layer() {
  Image<std::uint16_t> layer(5, 4);
  for (std::size_t i = 0; i < layer.size(); ++i)
    layer[i] = static_cast<std::uint16_t>(i * 3000);
  return layer;
}
Image<Rgb8> some_picture() {
  Image<Rgb8> picture(3, 2);
  for (std::size_t i = 0; i < picture.size(); ++i)
    picture[i] = {static_cast<std::uint8_t>(i), static_cast<std::uint8_t>(10 + i),
                  static_cast<std::uint8_t>(200 + i)};
  return picture;
}

TEST(PngOutside, PngcheckFindsNothingWrong) {
  if (!has_program("pngcheck"))
    GTEST_SKIP() << "install pngcheck";
  const Folder folder;
  for (const PngEffort effort : {PngEffort::fast, PngEffort::small}) {
    const auto layer = folder.path() / "layer.png", picture = folder.path() / "picture.png";
    write_bytes(layer, encode_png(some_layer(), Millimetres(0.25), effort));
    write_bytes(picture, encode_png(some_picture(), Millimetres(25.4 / 300), effort));
    const std::string about_layer = output_of("pngcheck -v " + layer.string());
    EXPECT_NE(about_layer.find("No errors detected"), std::string::npos) << about_layer;
    EXPECT_NE(about_layer.find("5 x 4 image, 16-bit grayscale"), std::string::npos) << about_layer;
    EXPECT_NE(about_layer.find("4000x4000 pixels/meter"), std::string::npos) << about_layer;
    const std::string about_picture = output_of("pngcheck -v " + picture.string());
    EXPECT_NE(about_picture.find("No errors detected"), std::string::npos) << about_picture;
    EXPECT_NE(about_picture.find("11811x11811 pixels/meter (300 dpi)"), std::string::npos) << about_picture;
    EXPECT_NE(about_picture.find("chunk sRGB"), std::string::npos) << about_picture;
    EXPECT_NE(about_picture.find("length 4: 0.45455"), std::string::npos) << about_picture;
    EXPECT_NE(about_picture.find("White x = 0.3127 y = 0.329,  Red x = 0.64 y = 0.33"), std::string::npos)
        << about_picture;
  }
}

TEST(PngOutside, PillowReadsTheSameValues) {
  const Folder folder;
  const auto layer = folder.path() / "layer.png", picture = folder.path() / "picture.png";
  write_bytes(layer, encode_png(some_layer(), Millimetres(0.25)));
  write_bytes(picture, encode_png(some_picture(), Millimetres(25.4 / 300)));
  EXPECT_EQ(pillow("print(im.size, list(im.getdata())[:4], round(im.info[\"dpi\"][0], 1))", layer),
            "(5, 4) [0, 3000, 6000, 9000] 101.6\n");
  EXPECT_EQ(pillow("print(im.size, im.mode, list(im.getdata())[1], round(im.info[\"dpi\"][0]))", picture),
            "(3, 2) RGB (1, 11, 201) 300\n");
}

// Pillow's exif_transpose is the judge of which way up each of the eight orientations is.
TEST(PictureOutside, OrientationAsPillowSeesIt) {
  const Folder folder;
  cv::Mat stored(2, 3, CV_8UC3);
  for (int i = 0; i < 6; ++i)
    stored.at<cv::Vec3b>(i / 3, i % 3) = cv::Vec3b::all(static_cast<std::uint8_t>(40 * i));
  for (int value = 1; value <= 8; ++value) {
    const auto file = folder.write("a.png", png_with(encoded(".png", stored), "eXIf", exif_block(value)));
    const Picture picture = read_picture(file);
    std::string ours;
    for (std::size_t i = 0; i < picture.pixels.size(); ++i) {
      const double light = static_cast<double>(picture.pixels[i].g);
      ours += std::to_string(to_rgb8(LinearRgb{light, light, light}).g) + " ";
    }
    ours += std::to_string(picture.pixels.width()) + "\n";
    EXPECT_EQ(ours, pillow("im = ImageOps.exif_transpose(im); print(*[p[1] for p in im.getdata()], im.width)",
                           file))
        << value;
  }
}

}  // namespace
}  // namespace powderplan::testing
