#include "layers/layer.h"

#include <cmath>
#include <numbers>

#include "drawn_separation.h"
#include "masks.h"

namespace powderplan {
namespace {

constexpr double pitch = 0.25;
const Grid grid{Millimetres(pitch), 400, 300};  // 100 x 75 mm

// The middle of a point, in mm.
double mm(int place) {
  return (place + 0.5) * pitch;
}

// One powder with one load where `inside(x mm, y mm)`.
template <class Inside>
Separation one_layer(Inside&& inside) {
  return drawn_separation(grid, {nest_of(0, {Load(0.1)})}, {{0}, {1}},
                          [&](int x, int y) { return inside(mm(x), mm(y)) ? 1 : 0; });
}

TEST(MakeLayers, AreaOfADisc) {
  for (const double r : {5.0, 12.5, 30.0}) {
    const auto layers =
        make_layers(one_layer([&](double x, double y) { return std::hypot(x - 50, y - 37) < r; }));
    ASSERT_EQ(layers.size(), 1u);
    const double area = std::numbers::pi * r * r / 100;
    EXPECT_NEAR(layers[0].area_cm2, area, 0.01 * area) << r;
    ASSERT_EQ(layers[0].regions.size(), 1u);
    const Region& region = layers[0].regions[0];
    EXPECT_EQ(region.id, 1);
    EXPECT_NEAR(region.centre.x, 50, 0.1);
    EXPECT_NEAR(region.centre.y, 37, 0.1);
    EXPECT_NEAR(region.box.left, 50 - r, pitch);
    EXPECT_NEAR(region.box.right, 50 + r, pitch);
    EXPECT_NEAR(region.box.top, 37 - r, pitch);
    EXPECT_NEAR(region.box.bottom, 37 + r, pitch);
  }
}

TEST(MakeLayers, AreaOfARing) {
  const auto layers = make_layers(one_layer([](double x, double y) {
    const double r = std::hypot(x - 50, y - 37);
    return r >= 10 && r < 20;
  }));
  const double area = std::numbers::pi * (400 - 100) / 100;
  EXPECT_NEAR(layers.at(0).area_cm2, area, 0.01 * area);
  EXPECT_EQ(layers[0].regions.size(), 1u);
  EXPECT_NEAR(layers[0].regions[0].centre.x, 50, 0.1) << "the middle lies in the hole";
}

// A square is exact: points are squares.
TEST(MakeLayers, SquaresAreExact) {
  const auto layers =
      make_layers(one_layer([](double x, double y) { return x > 10 && x < 30 && y > 20 && y < 25; }));
  EXPECT_NEAR(layers.at(0).area_cm2, 1.0, 1e-12);
  const BoxMm& box = layers[0].regions.at(0).box;
  EXPECT_EQ(box.left, 10);
  EXPECT_EQ(box.right, 30);
  EXPECT_EQ(box.top, 20);
  EXPECT_EQ(box.bottom, 25);
  EXPECT_NEAR(layers[0].regions[0].centre.x, 20, 1e-9);
  EXPECT_NEAR(layers[0].regions[0].centre.y, 22.5, 1e-9);
}

// A ramp in three tones: tone i covers from a third to a third of the width.
TEST(MakeLayers, TonesOfARampAreNestedAndSmallestFirst) {
  const Separation ramp = drawn_separation(grid, {nest_of(4, {Load(0.05), Load(0.1), Load(0.2)})},
                                           {{0}, {1}, {2}, {3}}, [](int x, int) { return x / 100; });
  const auto layers = make_layers(ramp);
  ASSERT_EQ(layers.size(), 3u);
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_EQ(layers[i].nest, 0u);
    EXPECT_EQ(layers[i].step, 3 - static_cast<int>(i));
    EXPECT_NEAR(layers[i].area_cm2, 25.0 * 75 * (static_cast<double>(i) + 1) / 100, 1e-9);
    EXPECT_EQ(layers[i].technique, Technique::stencil);
  }
  EXPECT_EQ(layers[0].load, Load(0.2));
  EXPECT_EQ(layers[2].load, Load(0.05));
}

TEST(MakeLayers, MasksAreWhereThePowderLies) {
  holds_always([] {
    const Choice choice{nest_of(0, {Load(0.1), Load(0.1)}), nest_of(1, {Load(0.1)}),
                        nest_of(2, {Load(0.1), Load(0.1), Load(0.1)})};
    const auto labels = all_labels(choice, 3);
    std::mt19937 random(*rc::gen::inRange(0u, 1000000u));
    const Grid small{Millimetres(1), *rc::gen::inRange(1, 20), *rc::gen::inRange(1, 20)};
    const Separation separation =
        drawn_separation(small, choice, labels, [&](int, int) { return random() % labels.size(); });
    const auto layers = make_layers(separation);
    for (std::size_t i = 0; i < layers.size(); ++i) {
      const Layer& layer = layers[i];
      const BitMask& mask = layer.open;
      double open = 0;
      for (std::size_t p = 0; p < layer.amount.size(); ++p) {
        RC_ASSERT(is_in(mask, p) == (labels[separation.label_at[p]][layer.nest] >= layer.step));
        RC_ASSERT(layer.amount[p] == (is_in(mask, p) ? whole_amount : 0));
        open += is_in(mask, p) ? 1 : 0;
      }
      RC_ASSERT(open > 0);
      RC_ASSERT(std::abs(layer.area_cm2 - open * small.point_cm2()) < 1e-9);
      double sum = 0;
      for (std::size_t r = 0; r < layer.regions.size(); ++r) {
        RC_ASSERT(layer.regions[r].id == static_cast<int>(r) + 1);
        if (r > 0)
          RC_ASSERT(layer.regions[r].area_cm2 <= layer.regions[r - 1].area_cm2);
        sum += layer.regions[r].area_cm2;
      }
      RC_ASSERT(std::abs(sum - layer.area_cm2) < 1e-9);
      if (i == 0)
        continue;
      // Powders from the bottom up; of one powder the smaller opening first, inside the larger.
      RC_ASSERT(layers[i - 1].nest <= layer.nest);
      if (layers[i - 1].nest == layer.nest) {
        RC_ASSERT(layers[i - 1].step > layer.step);
        BitMask outside = layers[i - 1].open;
        RC_ASSERT(!outside.remove(mask).any());
      }
    }
  });
}

TEST(MakeLayers, NumbersRegionsByTheirSize) {
  const auto layers = make_layers(one_layer([](double x, double y) {
    return (x > 5 && x < 10 && y > 5 && y < 10) || (x > 50 && x < 90 && y > 5 && y < 20) ||
           (x > 20 && x < 30 && y > 40 && y < 50);
  }));
  const auto& regions = layers.at(0).regions;
  ASSERT_EQ(regions.size(), 3u);
  EXPECT_NEAR(regions[0].area_cm2, 6, 1e-9);
  EXPECT_NEAR(regions[1].area_cm2, 1, 1e-9);
  EXPECT_NEAR(regions[2].area_cm2, 0.25, 1e-9);
  EXPECT_NEAR(regions[1].centre.x, 25, 1e-9);
}

TEST(RegionsAt, EveryPointBelongsToTheRegionThatTheLayerNames) {
  const auto layers = make_layers(one_layer([](double x, double y) {
    return std::hypot(x - 20, y - 20) < 8 || std::hypot(x - 60, y - 40) < 15 || (x > 90 && y > 70);
  }));
  const Layer& layer = layers.at(0);
  ASSERT_EQ(layer.regions.size(), 3u);
  const Image<std::int32_t> region_at = regions_at(layer);
  std::vector<double> points(layer.regions.size() + 1, 0);
  for (std::size_t i = 0; i < region_at.size(); ++i) {
    ASSERT_EQ(region_at[i] != 0, layer.amount[i] != 0) << i;
    points.at(static_cast<std::size_t>(region_at[i])) += 1;
  }
  for (const Region& region : layer.regions) {
    EXPECT_NEAR(points[static_cast<std::size_t>(region.id)] * pitch * pitch / 100, region.area_cm2, 1e-9);
    if (region.id < 3) {
      EXPECT_EQ(
          region_at.at(static_cast<int>(region.centre.x / pitch), static_cast<int>(region.centre.y / pitch)),
          region.id);
    }
  }
}

TEST(MakeLayers, CornersTouchAndSoConnect) {
  const auto layers = make_layers(one_layer([](double x, double y) {
    return (x > 10 && x < 20 && y > 10 && y < 20) || (x > 20 && x < 30 && y > 20 && y < 30);
  }));
  EXPECT_EQ(layers.at(0).regions.size(), 1u);
}

TEST(MakeLayers, LeavesOutWhatOpensNowhere) {
  const Separation separation =
      drawn_separation({Millimetres(1), 4, 4}, {nest_of(0, {Load(0.1), Load(0.2)}), nest_of(1, {Load(0.1)})},
                       {{0, 0}, {1, 0}, {2, 0}, {0, 1}}, [](int x, int) { return x == 0 ? 1 : 0; });
  const auto layers = make_layers(separation);
  ASSERT_EQ(layers.size(), 1u);
  EXPECT_EQ(layers[0].nest, 0u);
  EXPECT_EQ(layers[0].step, 1);
  EXPECT_TRUE(
      make_layers(drawn_separation({Millimetres(1), 4, 4}, {}, {{}}, [](int, int) { return 0; })).empty());
}

TEST(NameOf, Techniques) {
  EXPECT_EQ(name_of(Technique::stencil), "stencil");
  EXPECT_EQ(name_of(Technique::fade), "fade");
  EXPECT_EQ(name_of(Technique::line), "line");
}

}  // namespace
}  // namespace powderplan
