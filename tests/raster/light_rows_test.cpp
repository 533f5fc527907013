#include "raster/light_rows.h"

#include <gtest/gtest.h>

#include "raster/fit.h"

namespace powderplan {
namespace {

Picture drawn(int width, int height) {
  Picture picture;
  picture.pixels = Image<LinearPixel>(width, height);
  for (int y = 0; y < height; ++y)
    for (int x = 0; x < width; ++x)
      picture.pixels.at(x, y) = {static_cast<float>(x) / 50, static_cast<float>(y) / 50,
                                 static_cast<float>(x * y % 7) / 7, (x + y) % 5 == 0 ? 0.25F : 1.0F};
  return picture;
}

bool same(const LinearPixel& a, const LinearPixel& b) {
  return a.r == b.r && a.g == b.g && a.b == b.b && a.alpha == b.alpha;
}

TEST(LightRows, AreThePicture) {
  const Picture picture = drawn(37, 21);
  const Image<LinearPixel> again = image_of(rows_of(picture.pixels));
  ASSERT_EQ(again.size(), picture.pixels.size());
  for (std::size_t i = 0; i < again.size(); ++i)
    EXPECT_TRUE(same(again[i], picture.pixels[i])) << i;
}

TEST(LightRows, FittedInAnyOrderAreTheFittedPicture) {
  const Picture picture = drawn(40, 30);
  for (const double width : {11.0, 40.0, 90.0}) {
    const PieceSize size{Millimetres(width), Millimetres(width * 0.7)};
    const FittedPicture whole = fit_to_piece(picture, {}, FitMode::whole, size, Millimetres(1));
    const FittedRows rows = fit_to_piece(rows_of(picture.pixels), {}, FitMode::whole, size, Millimetres(1));
    ASSERT_EQ(rows.grid, whole.grid);
    EXPECT_EQ(rows.pixels_per_point, whole.pixels_per_point);
    std::vector<LinearPixel> row(static_cast<std::size_t>(rows.grid.width));
    for (int y = rows.grid.height; y-- > 0;) {
      rows.rows.row(y, row.data());
      for (int x = 0; x < rows.grid.width; ++x)
        ASSERT_TRUE(same(row[static_cast<std::size_t>(x)], whole.pixels.at(x, y))) << x << ", " << y;
    }
  }
}

}  // namespace
}  // namespace powderplan
