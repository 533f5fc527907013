// A drawing made by cairo (Debian's python3-cairo), read as a picture and traced: the lines must be where
// cairo was told to draw them.
#include "line_drawing.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <sstream>

#include "outside/programs.h"
#include "places.h"
#include "raster/picture.h"
#include "separation/strokes.h"

namespace powderplan {
namespace {

std::vector<TrueStroke> drawn_by_cairo(const std::filesystem::path& picture, double per_mm) {
  std::istringstream pieces(testing::output_of("/usr/bin/python3 '" + testing::source_folder() +
                                               "/tests/outside/draw_lines.py' '" + picture.string() + "' " +
                                               std::to_string(per_mm)));
  std::vector<TrueStroke> strokes;
  double width = 0;
  PointMm a, b;
  while (pieces >> width >> a.x >> a.y >> b.x >> b.y)
    strokes.push_back({{a, b}, width});
  return strokes;
}

TEST(LinesByCairo, AreTracedWhereTheyWereDrawn) {
  for (const double per_mm : {5.0, 11.811}) {  // 11.811: 300 points an inch
    const std::filesystem::path picture =
        std::filesystem::temp_directory_path() / ("lines-by-cairo-" + std::to_string(per_mm) + ".png");
    const std::vector<TrueStroke> strokes = drawn_by_cairo(picture, per_mm);
    ASSERT_GT(strokes.size(), 50u);
    const Target target = target_of(fit_to_piece(read_picture(picture), {}, FitMode::fill,
                                                 {Millimetres(120), Millimetres(90)}, Millimetres(0.25)));
    std::filesystem::remove(picture);
    const StrokeMap map = find_strokes(target, {});
    EXPECT_GT(map.drawing_share, 0.9);
    const LinePlan plan = trace_lines(strokes_of_kind(map, 1), map.cover, target.grid, {});
    const Nearness near = nearness(strokes, plan);
    EXPECT_GE(near.found, 0.95) << per_mm;
    EXPECT_LE(near.astray, 0.02) << per_mm;
    EXPECT_GE(near.right_width, 0.9) << per_mm;
  }
}

}  // namespace
}  // namespace powderplan
