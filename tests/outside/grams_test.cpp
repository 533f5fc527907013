// Grams against glass by weight, EN 572-1 (2.5 kg/m2 for each mm; from memory, and seen in pages that quote
// it), and against the areas of plain shapes.
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>

#include "drawn_separation.h"
#include "one_jar.h"
#include "weigh/weigh.h"

namespace powderplan {
namespace {

// Grams of one full-load layer on 300 x 200 mm that lies where `inside(x mm, y mm)`.
template <class Inside>
double grams_where(double pitch, Inside&& inside) {
  const Grid grid{Millimetres(pitch), static_cast<int>(300 / pitch), static_cast<int>(200 / pitch)};
  const Separation separation =
      drawn_separation(grid, {nest_of(0, {full_load})}, {{0}, {1}},
                       [&](int x, int y) { return inside((x + 0.5) * pitch, (y + 0.5) * pitch) ? 1 : 0; });
  return weigh(separation, make_layers(separation), one_jar()).layers.at(0).lands.value();
}

// A full load everywhere weighs what 3 mm sheet weighs: 0.3 * 0.2 m2 * 7.5 kg/m2 = 450 g.
TEST(En572, FullLoadWeighsWhatThreeMillimetreSheetDoes) {
  for (const double pitch : {0.25, 0.5, 1.0})
    EXPECT_NEAR(grams_where(pitch, [](double, double) { return true; }), 450, 1e-6);
  EXPECT_NEAR(load_of_sheet(Millimetres(1)).value() * 10, 2.5, 1e-12) << "kg/m2";
}

TEST(Shapes, Grams) {
  const double pi = std::numbers::pi;
  const auto radius = [](double x, double y) { return std::hypot(x - 150, y - 100); };
  // Disc of 120 mm: 113.1 cm2, 84.8 g.
  EXPECT_NEAR(grams_where(0.25, [&](double x, double y) { return radius(x, y) < 60; }), 0.75 * pi * 36, 0.1);
  // Ring between 60 and 120 mm.
  EXPECT_NEAR(grams_where(0.25, [&](double x, double y) { return radius(x, y) < 60 && radius(x, y) >= 30; }),
              0.75 * pi * (36 - 9), 0.1);
  // Half the piece, cut from corner to corner: 225 g.
  EXPECT_NEAR(grams_where(0.25, [](double x, double y) { return x * 200 < y * 300; }), 225, 0.4);
  // Ellipse with half axes of 140 and 90 mm.
  EXPECT_NEAR(
      grams_where(0.25, [](double x, double y) { return std::hypot((x - 150) / 140, (y - 100) / 90) < 1; }),
      0.75 * pi * 14 * 9, 0.2);
}

}  // namespace
}  // namespace powderplan
