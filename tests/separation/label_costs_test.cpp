#include "separation/label_costs.h"

#include <random>

#include "colour/difference.h"
#include "fades.h"
#include "property.h"
#include "shelf.h"

namespace powderplan {
namespace {

constexpr Grid grid{Millimetres(0.5), 90, 70};

// One powder through openings, a fade of another over all of it.
FadedChoice waves() {
  FadedChoice faded;
  faded.stencils.choice = {nest_of(red, {Load(0.15)})};
  faded.stencils.labels = all_labels(faded.stencils.choice, 2);
  HandLaid fade;
  fade.free = true;
  fade.nest = 1;
  fade.powder = black;
  fade.load = Load(0.05);
  fade.amount = field_by(grid, spacing_for_edge(Millimetres(8)), [](double x, double y) {
    return 0.5 + 0.3 * std::sin(x / 6) + 0.2 * std::cos(y / 5);
  });
  faded.fades.push_back(fade);
  return faded;
}

// At every point the model itself, with the field that lies there, within half a unit where the colours are
// near, and a tenth of the difference where they are not.
TEST(FadedCosts, AreNearTheModelAtEveryPoint) {
  const FadedChoice faded = waves();
  Image<PackedLab> wanted(grid.width, grid.height);
  const Image<float> field = faded.fades[0].amount.on(grid);
  std::mt19937 random(5);
  std::uniform_real_distribution<float> off(-3, 3);
  const auto look = [&](std::size_t label, float amount) {
    return small_painter().lab(recipe_of(faded, faded.stencils.labels[label], {amount}));
  };
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    const LabPixel near = to_pixel(look(i % 2, field[i]));
    wanted[i] = {near.l + off(random), near.a + off(random), near.b + off(random)};
  }
  const ColourIndex index = index_colours(wanted, Image<std::uint8_t>(grid.width, grid.height), 60'000);
  const FadedCosts costs(small_painter(), faded, index, index.at, grid.pitch, {});
  double worst = 0;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    const auto label = static_cast<std::uint16_t>(i % 2);
    const double load = 0.05 * static_cast<double>(field[i]) + (label == 1 ? 0.15 : 0);
    const double exact =
        ciede2000(index.colours[index.at[i]].lab, look(label, field[i])) + price_of_load * load;
    worst = std::max(worst, std::abs(exact - static_cast<double>(costs.at(i, label))));
  }
  EXPECT_LT(worst, 0.6);
  EXPECT_GT(worst, 0.02) << "the bound could be tighter";
}

TEST(FadedCosts, AreTheSameAlongAMapAndAtItsPoints) {
  const FadedChoice faded = waves();
  Image<PackedLab> wanted(grid.width, grid.height);
  Image<std::uint8_t> bare(grid.width, grid.height);
  std::mt19937 random(6);
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    wanted[i] = {static_cast<float>(random() % 100), 0, 0};
    bare[i] = random() % 5 == 0 ? 1 : 0;
  }
  const ColourIndex index = index_colours(wanted, bare, 200);
  const FadedCosts costs(small_painter(), faded, index, index.at, grid.pitch, {});
  holds_always([&] {
    const auto point = *rc::gen::inRange(std::size_t{0}, wanted.size());
    const auto count = *rc::gen::inRange(std::size_t{0}, std::min<std::size_t>(300, wanted.size() - point));
    std::vector<std::uint16_t> labels(count);
    for (std::size_t i = 0; i < count; ++i)
      labels[i] = static_cast<std::uint16_t>((point + i) % 3 == 0);
    std::vector<float> found(count);
    costs.along(point, count, labels.data(), found.data());
    for (std::size_t i = 0; i < count; ++i) {
      RC_ASSERT(found[i] == costs.at(point + i, labels[i]));
      if (bare[point + i] != 0)
        RC_ASSERT(found[i] == (labels[i] == 0 ? 0.0F : cost_on_bare));
    }
  });
}

}  // namespace
}  // namespace powderplan
