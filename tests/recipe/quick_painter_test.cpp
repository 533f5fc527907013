#include "recipe/quick_painter.h"

#include <cmath>

#include "shelf.h"

namespace powderplan {
namespace {

// Against the plain version: recipes one after the other, each like the one before up to some dose.
TEST(QuickPainter, SeesWhatThePainterSees) {
  holds_always(
      [] {
        const View view = *rc::gen::element(View::wall, View::window);
        const Painter painter(small_shelf(), clear_ground(view),
                              flow_for(*rc::gen::element(Finish::tack, Finish::full), Millimetres(0.1)),
                              daylight_observer());
        QuickPainter quick(painter, full_load * 4.0);
        Recipe recipe;
        for (int i = 0; i < 8; ++i) {
          recipe.resize(*rc::gen::inRange(std::size_t{0}, recipe.size() + 1));
          for (const Dose& dose : any_recipe(4))
            lay_on(recipe, dose);
          const Lab plain = painter.lab(recipe), seen = quick.lab(recipe);
          RC_ASSERT(std::abs(seen.l - plain.l) <= quick_painter_lab);
          RC_ASSERT(std::abs(seen.a - plain.a) <= quick_painter_lab);
          RC_ASSERT(std::abs(seen.b - plain.b) <= quick_painter_lab);
        }
      },
      60);
}

TEST(QuickPainter, DoesNotDependOnWhatWasAskedBefore) {
  const Painter painter = small_painter();
  const Recipe one{{white, full_load * 0.2}, {red, full_load * 0.4}};
  const Recipe other{{white, full_load * 0.2}, {blue, full_load * 0.1}, {red, full_load * 0.3}};
  QuickPainter used(painter, full_load), fresh(painter, full_load);
  used.lab(other);
  EXPECT_EQ(used.lab(one), fresh.lab(one));
}

}  // namespace
}  // namespace powderplan
