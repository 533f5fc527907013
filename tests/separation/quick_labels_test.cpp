#include "separation/quick_labels.h"

#include "shelf.h"

namespace powderplan {
namespace {

Choice any_choice() {
  Choice choice;
  for (const Dose& dose : any_recipe(4)) {
    Nest nest{{dose}};
    for (int more = *rc::gen::inRange(0, 3); more > 0; --more)
      nest.steps.push_back({*rc::gen::element(dose.powder, red, white), Load(any_decade_between(0.01, 0.3))});
    choice.push_back(nest);
  }
  return choice;
}

TEST(QuickLabels, AreTheLabelColours) {
  holds_always(
      [] {
        const auto cap = *rc::gen::inRange(std::size_t{0}, std::size_t{5});
        const Choice choice = any_choice();
        const View view = *rc::gen::element(View::wall, View::window);
        const Painter painter(small_shelf(), clear_ground(view),
                              flow_for(*rc::gen::element(Finish::tack, Finish::full), Millimetres(0.1)),
                              daylight_observer());
        const LabelShape shape(choice, all_labels(choice, cap));
        const std::vector<Xyz> plain = label_colours(painter, choice, shape);
        const QuickLabels labels(painter, full_load * 5.0);
        for (int again = 0; again < 2; ++again) {  // the second time from tables that stand already
          const LabColumns quick = labels.colours(choice, shape);
          for (std::size_t i = 0; i < plain.size(); ++i) {
            const Lab lab = to_lab(plain[i]);
            RC_ASSERT(std::abs(static_cast<double>(quick.l[i]) - lab.l) < quick_labels_lab);
            RC_ASSERT(std::abs(static_cast<double>(quick.a[i]) - lab.a) < quick_labels_lab);
            RC_ASSERT(std::abs(static_cast<double>(quick.b[i]) - lab.b) < quick_labels_lab);
          }
        }
      },
      60);
}

TEST(QuickLabels, ColumnsAreFilledUpWithWhatIsNeverNearest) {
  const Choice choice{nest_of(red, {Load(0.1), Load(0.2)}), nest_of(white, {Load(0.05)})};
  const Painter painter = small_painter();
  const LabelShape shape(choice, all_labels(choice, 3));
  const LabColumns columns = QuickLabels(painter, full_load).colours(choice, shape);
  ASSERT_EQ(columns.l.size() % colours_in_a_block, 0u);
  for (std::size_t i = shape.labels().size(); i < columns.l.size(); ++i)
    EXPECT_GT(columns.l[i], 1000);
}

}  // namespace
}  // namespace powderplan
