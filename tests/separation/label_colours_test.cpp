#include "separation/label_colours.h"

#include "separation/separate.h"
#include "shelf.h"

namespace powderplan {
namespace {

Choice any_choice(std::size_t most_powders) {
  Choice choice;
  for (const Dose& dose : any_recipe(most_powders)) {
    Nest nest{{dose}};
    for (int more = *rc::gen::inRange(0, 3); more > 0; --more)
      nest.steps.push_back(
          {*rc::gen::element(dose.powder, red, white), Load(any_decade_between(0.005, 0.3))});
    choice.push_back(nest);
  }
  return choice;
}

TEST(LabelColours, AreThePaintersColoursOfTheRecipes) {
  holds_always(
      [] {
        const auto cap = *rc::gen::inRange(std::size_t{0}, std::size_t{5});
        const Choice choice = any_choice(4);
        const View view = *rc::gen::element(View::wall, View::window);
        const Painter painter(small_shelf(), clear_ground(view),
                              *rc::gen::element(Finish::tack, Finish::full), daylight_observer());
        const LabelShape shape(choice, all_labels(choice, cap));
        const std::vector<Xyz> colours = label_colours(painter, choice, shape);
        RC_ASSERT(colours.size() == shape.labels().size());
        for (std::size_t i = 0; i < colours.size(); ++i) {
          const Xyz alone = painter.xyz(recipe_of(choice, shape.labels()[i]));
          // The stack drops parts of less than 1e-7 of the spot.
          RC_ASSERT(std::abs(colours[i].x - alone.x) < 1e-6);
          RC_ASSERT(std::abs(colours[i].y - alone.y) < 1e-6);
          RC_ASSERT(std::abs(colours[i].z - alone.z) < 1e-6);
        }
      },
      60);
}

TEST(LabelColours, AShapeServesEveryChoiceOfTheSamePattern) {
  const Painter painter = small_painter();
  const Choice one{nest_of(red, {Load(0.1), Load(0.2)}), nest_of(white, {Load(0.05)})};
  const Choice other{nest_of(black, {Load(0.02), Load(0.3)}), nest_of(blue, {Load(0.4)})};
  const LabelShape shape(one, all_labels(one, 2));
  const std::vector<Xyz> own = label_colours(painter, other, LabelShape(other, all_labels(other, 2)));
  EXPECT_EQ(label_colours(painter, other, shape), own);
  EXPECT_EQ(pattern_of(one), pattern_of(other));
  EXPECT_NE(pattern_of(one), pattern_of({nest_of(red, {Load(0.1), Load(0.2)}), nest_of(red, {Load(0.05)})}));
  EXPECT_NE(pattern_of(one), pattern_of({nest_of(red, {Load(0.1)}), nest_of(red, {Load(0.2), Load(0.05)})}));
  EXPECT_NE(pattern_of(one),
            pattern_of({Nest{{{red, Load(0.1)}, {white, Load(0.2)}}}, nest_of(blue, {Load(1)})}));
}

TEST(LabelLabs, AreThePaintersColours) {
  const Painter painter = small_painter();
  const Choice choice{nest_of(red, {Load(0.1), Load(0.2)}), nest_of(white, {Load(0.05)})};
  const std::vector<Tones> labels = all_labels(choice, 2);
  const std::vector<Lab> labs = label_labs(painter, choice, labels);
  ASSERT_EQ(labs.size(), labels.size());
  for (std::size_t i = 0; i < labels.size(); ++i)
    EXPECT_EQ(labs[i], painter.lab(recipe_of(choice, labels[i])));
}

}  // namespace
}  // namespace powderplan
