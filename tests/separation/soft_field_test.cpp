#include "separation/soft_field.h"

#include <algorithm>
#include <cmath>
#include <random>

#include "property.h"

namespace powderplan {
namespace {

// Weights that add up to one everywhere: the sum of all shifted B-splines is 1 (Schoenberg 1946).
TEST(SoftField, EqualWeightsGiveAnEvenCoat) {
  holds_always([] {
    const Grid grid{Millimetres(any_decade_between(0.1, 5)), *rc::gen::inRange(1, 60),
                    *rc::gen::inRange(1, 60)};
    const auto value = static_cast<float>(any_between(0, 1));
    const SoftField field(grid.pitch * grid.width, grid.pitch * grid.height,
                          Millimetres(any_decade_between(0.5, 100)), value);
    const Image<float> coat = field.on(grid);
    for (std::size_t i = 0; i < coat.size(); ++i)
      RC_ASSERT(std::abs(coat[i] - value) < 1e-5F);
  });
}

TEST(SoftField, StaysBetweenTheSmallestAndTheLargestWeight) {
  holds_always([] {
    const Grid grid{Millimetres(1), *rc::gen::inRange(1, 60), *rc::gen::inRange(1, 60)};
    SoftField field(grid.pitch * grid.width, grid.pitch * grid.height, Millimetres(any_between(1, 20)));
    std::mt19937 random(*rc::gen::inRange(0u, 1000000u));
    for (float& weight : field.weights())
      weight = static_cast<float>(random() % 1000) / 999.0F;
    const Image<float> coat = field.on(grid);
    for (std::size_t i = 0; i < coat.size(); ++i)
      RC_ASSERT(coat[i] >= -1e-6F && coat[i] <= 1 + 1e-6F);
  });
}

// The steepest edge of the lattice: all weights 1 on one side.
TEST(SoftField, NoEdgeIsSharperThanTheSifter) {
  const Millimetres edge(15);
  const Grid grid{Millimetres(0.25), 1200, 4};
  SoftField field(Millimetres(300), Millimetres(1), spacing_for_edge(edge));
  for (int row = 0; row < field.rows(); ++row) {
    for (int column = field.columns() / 2; column < field.columns(); ++column)
      field.weights()[static_cast<std::size_t>(row * field.columns() + column)] = 1;
  }
  const Image<float> coat = field.on(grid);
  const auto crossing = [&](float level) {
    int x = 0;
    while (coat.at(x, 1) < level)
      ++x;
    return x * 0.25;
  };
  // The quadratic B-spline is not quite a normal law.
  EXPECT_NEAR(crossing(0.9F) - crossing(0.1F), edge.value(), 0.05 * edge.value());
}

}  // namespace
}  // namespace powderplan
