#include "layers/spots.h"

#include <array>
#include <cmath>
#include <random>
#include <set>

#include "property.h"

namespace powderplan {
namespace {

Layer layer_of(std::size_t powder, Load load, int width, int height) {
  Layer layer;
  layer.powder = powder;
  layer.load = load;
  layer.amount = Image<Amount>(width, height);
  return layer;
}

TEST(Spots, WithoutLayersIsOne) {
  const Spots spots({}, 4, 3);
  EXPECT_EQ(spots.count(), 1u);
  EXPECT_EQ(spots.at().size(), 12u);
  EXPECT_TRUE(recipe_at(spots, 0, {}).empty());
}

TEST(Spots, EachPointHasItsAmountsAndNoSpotIsThereTwice) {
  holds_always([] {
    const int width = *rc::gen::inRange(1, 20), height = *rc::gen::inRange(1, 20);
    std::mt19937 random(*rc::gen::inRange(0u, 1000000u));
    std::vector<Layer> layers;
    for (int i = *rc::gen::inRange(0, 5); i > 0; --i) {
      layers.push_back(layer_of(0, Load(0.1), width, height));
      const auto kinds = 1 + random() % 5;
      for (std::size_t p = 0; p < layers.back().amount.size(); ++p)
        layers.back().amount[p] = static_cast<Amount>(random() % kinds * 51U);
    }
    const Spots spots(layers, width, height);
    std::set<std::vector<int>> seen;
    for (std::size_t s = 0; s < spots.count(); ++s) {
      std::vector<int> amounts;
      for (std::size_t i = 0; i < layers.size(); ++i)
        amounts.push_back(spots.amount(s, i));
      RC_ASSERT(seen.insert(amounts).second);
    }
    for (std::size_t p = 0; p < spots.at().size(); ++p) {
      for (std::size_t i = 0; i < layers.size(); ++i)
        RC_ASSERT(spots.amount(spots.at()[p], i) == layers[i].amount[p]);
    }
  });
}

TEST(Spots, RoundedAmountsKeepNothingAndAll) {
  std::vector<Layer> layers{layer_of(0, Load(0.1), 6, 1)};
  layers[0].amount[0] = 0;
  layers[0].amount[1] = whole_amount;
  layers[0].amount[2] = 78;
  layers[0].amount[3] = 86;
  layers[0].amount[4] = 117;
  layers[0].amount[5] = 234;
  const Spots spots(layers, 6, 1, 3);
  const auto at = [&](int x) { return spots.amount(spots.at().at(x, 0), 0); };
  EXPECT_EQ(at(0), 0);
  EXPECT_EQ(at(1), whole_amount);
  EXPECT_EQ(at(2), 85);
  EXPECT_EQ(at(3), 85);
  EXPECT_EQ(at(4), 85);
  EXPECT_EQ(at(5), whole_amount);
  EXPECT_EQ(spots.count(), 3u);
}

TEST(RecipeAt, StacksTheLayersAndAddsNeighboursOfOnePowder) {
  std::vector<Layer> layers{layer_of(7, Load(0.2), 1, 1), layer_of(5, Load(0.9), 1, 1),
                            layer_of(7, Load(0.1), 1, 1), layer_of(3, Load(0.4), 1, 1)};
  layers[0].amount[0] = whole_amount;
  layers[2].amount[0] = 51;  // a fifth
  layers[3].amount[0] = 51;
  const Spots spots(layers, 1, 1);
  const Recipe all = recipe_at(spots, 0, layers);
  ASSERT_EQ(all.size(), 2u);
  EXPECT_EQ(all[0].powder, 7u);
  EXPECT_NEAR(all[0].load.value(), 0.22, 1e-9);
  EXPECT_EQ(all[1].powder, 3u);
  EXPECT_NEAR(all[1].load.value(), 0.08, 1e-9);
  const Recipe without = recipe_at(spots, 0, layers, std::array<std::size_t, 1>{3});
  ASSERT_EQ(without.size(), 1u);
  EXPECT_EQ(without[0].powder, 7u);
}

}  // namespace
}  // namespace powderplan
