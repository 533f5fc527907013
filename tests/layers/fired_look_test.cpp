#include "layers/fired_look.h"

#include "fired_picture.h"
#include "shelf.h"

namespace powderplan {
namespace {

TEST(FiredColours, AreTheRecipesWhereTheyLie) {
  const Painter painter = small_painter();
  Separation separation;
  separation.grid = {Millimetres(1), 3, 1};
  separation.choice = {nest_of(red, {Load(0.1), Load(0.2)})};
  separation.labels = all_labels(separation.choice, 3);
  separation.label_at = Image<std::uint16_t>(3, 1);
  for (std::size_t i = 0; i < 3; ++i)
    separation.label_at[i] = static_cast<std::uint16_t>(2 - i);
  const Image<PackedLab> colours = fired_picture(painter, separation);
  EXPECT_NEAR(colours[0].l(), painter.lab({{red, Load(0.1) + Load(0.2)}}).l, 0.005);
  EXPECT_NEAR(colours[1].a(), painter.lab({{red, Load(0.1)}}).a, 0.005);
  EXPECT_NEAR(colours[2].l(), painter.lab({}).l, 0.005);
}

// A fade lays the share of its load that its field says, and only where its opening is.
TEST(FiredColours, OfAFadeFollowItsField) {
  const Painter painter = small_painter();
  Separation separation;
  separation.grid = {Millimetres(1), 4, 1};
  separation.choice = {nest_of(red, {Load(0.2)})};
  separation.labels = {{0}, {1}};
  separation.label_at = Image<std::uint16_t>(4, 1, 1);
  separation.label_at[0] = 0;
  separation.fades = {{0, 1, false, SoftField(Millimetres(4), Millimetres(1), Millimetres(8), 0.4F)}};
  const std::vector<Layer> layers = make_layers(separation);
  ASSERT_EQ(layers.size(), 1u);
  EXPECT_EQ(layers[0].technique, Technique::fade);
  EXPECT_EQ(layers[0].amount[0], 0);
  EXPECT_EQ(layers[0].amount[1], 102);
  EXPECT_NEAR(layers[0].area_cm2, 0.03, 1e-12);
  EXPECT_NEAR(layers[0].amount_cm2, 0.012, 1e-6);
  const Image<PackedLab> colours = fired_picture(painter, separation);
  EXPECT_NEAR(colours[2].l(), painter.lab({{red, Load(0.08)}}).l, 0.005);
  EXPECT_NEAR(colours[0].l(), painter.lab({}).l, 0.005);
  separation.fades[0].free = true;
  EXPECT_TRUE(make_layers(separation)[0].open.empty()) << "laid without a template";
}

}  // namespace
}  // namespace powderplan
