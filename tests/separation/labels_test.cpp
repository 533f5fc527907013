#include <algorithm>
#include <set>

#include "property.h"
#include "separation/separation.h"

namespace powderplan {
namespace {

Choice choice_of(const std::vector<std::size_t>& loads_of_each) {
  Choice choice;
  for (std::size_t p = 0; p < loads_of_each.size(); ++p) {
    Nest nest;
    for (std::size_t i = 0; i < loads_of_each[p]; ++i)
      nest.steps.push_back({10 + p, Load(0.1 * static_cast<double>(p + 1) + 0.01 * static_cast<double>(i))});
    choice.push_back(nest);
  }
  return choice;
}

std::size_t powders_in(const Tones& tones) {
  return tones.size() - static_cast<std::size_t>(std::count(tones.begin(), tones.end(), 0));
}

// All tones within the cap, counted one by one.
std::size_t counted(const std::vector<std::size_t>& loads_of_each, std::size_t cap) {
  std::size_t all = 1, within = 0;
  for (const std::size_t loads : loads_of_each)
    all *= loads + 1;
  for (std::size_t code = 0; code < all; ++code) {
    std::size_t rest = code, powders = 0;
    for (const std::size_t loads : loads_of_each) {
      powders += rest % (loads + 1) != 0 ? 1 : 0;
      rest /= loads + 1;
    }
    within += powders <= cap ? 1 : 0;
  }
  return within;
}

TEST(AllLabels, AreEnumerated) {
  std::vector<std::vector<std::size_t>> shapes{{}};
  for (std::size_t a = 1; a <= 3; ++a) {
    shapes.push_back({a});
    for (std::size_t b = 1; b <= 3; ++b) {
      shapes.push_back({a, b});
      for (std::size_t c = 1; c <= 3; ++c)
        shapes.push_back({a, b, c});
    }
  }
  for (const auto& shape : shapes) {
    for (std::size_t cap = 0; cap <= 4; ++cap) {
      const std::vector<Tones> labels = all_labels(choice_of(shape), cap);
      EXPECT_EQ(labels.size(), counted(shape, cap));
      // As numbers: this compiler warns wrongly where vectors of bytes are compared.
      std::set<std::vector<int>> different;
      for (const Tones& label : labels)
        different.emplace(label.begin(), label.end());
      EXPECT_EQ(different.size(), labels.size());
      EXPECT_EQ(labels.front(), Tones(shape.size(), 0)) << "the first is bare sheet";
      for (const Tones& label : labels) {
        ASSERT_EQ(label.size(), shape.size());
        EXPECT_LE(powders_in(label), cap);
        for (std::size_t p = 0; p < shape.size(); ++p)
          EXPECT_LE(label[p], shape[p]);
      }
    }
  }
}

TEST(AllLabels, OfThreeByTwoLoads) {
  const Choice choice = choice_of({2, 2, 2});
  EXPECT_EQ(all_labels(choice, 0).size(), 1u);
  EXPECT_EQ(all_labels(choice, 1).size(), 7u);
  EXPECT_EQ(all_labels(choice, 2).size(), 19u);
  EXPECT_EQ(all_labels(choice, 3).size(), 27u);
}

TEST(AllLabels, CountDosesNotLayers) {
  // White lies under red where the inner opening is open, and red on the red of the nest below is one dose.
  const Choice choice{nest_of(5, {Load(0.1), Load(0.1)}), Nest{{{5, Load(0.2)}, {9, Load(0.3)}}}};
  const std::vector<Tones> labels = all_labels(choice, 2);
  const auto has = [&](int below, int above) {
    return std::any_of(labels.begin(), labels.end(),
                       [&](const Tones& label) { return label[0] == below && label[1] == above; });
  };
  EXPECT_TRUE(has(2, 1)) << "one dose of powder 5";
  EXPECT_TRUE(has(0, 2)) << "9 below 5";
  EXPECT_FALSE(has(1, 2)) << "5, 9, 5";
  EXPECT_EQ(labels.size(), 7u);
  EXPECT_EQ(all_labels(choice, 3).size(), 9u);
}

TEST(LayerCount, IsTheNumberOfLoads) {
  EXPECT_EQ(layer_count(Choice{}), 0u);
  EXPECT_EQ(layer_count(choice_of({1})), 1u);
  EXPECT_EQ(layer_count(choice_of({3, 1, 2})), 6u);
}

TEST(RecipeOf, AddsUpTheLoadsOfAPowder) {
  const Choice choice{nest_of(7, {Load(0.02), Load(0.05), Load(0.3)}), nest_of(2, {Load(0.1)})};
  EXPECT_EQ(recipe_of(choice, {0, 0}), Recipe{});
  EXPECT_EQ(recipe_of(choice, {1, 0}), (Recipe{{7, Load(0.02)}}));
  EXPECT_EQ(recipe_of(choice, {2, 1}), (Recipe{{7, Load(0.02) + Load(0.05)}, {2, Load(0.1)}}));
  EXPECT_EQ(recipe_of(choice, {3, 0}), (Recipe{{7, Load(0.02) + Load(0.05) + Load(0.3)}}));
  EXPECT_EQ(recipe_of(choice, {0, 1}), (Recipe{{2, Load(0.1)}}));
  EXPECT_EQ(recipe_of({}, {}), Recipe{});
}

TEST(RecipeOf, TheSmallestOpeningOfANestLiesAtTheBottom) {
  const Choice choice{Nest{{{4, Load(0.1)}, {6, Load(0.2)}, {6, Load(0.3)}}}, nest_of(4, {Load(0.5)})};
  EXPECT_EQ(recipe_of(choice, {1, 0}), (Recipe{{4, Load(0.1)}}));
  EXPECT_EQ(recipe_of(choice, {2, 0}), (Recipe{{6, Load(0.2)}, {4, Load(0.1)}}));
  EXPECT_EQ(recipe_of(choice, {3, 1}), (Recipe{{6, Load(0.3) + Load(0.2)}, {4, Load(0.1) + Load(0.5)}}));
}

}  // namespace
}  // namespace powderplan
