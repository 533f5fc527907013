#include "recipe/quick_painter.h"

#include <algorithm>

#include "property.h"
#include "shelf.h"

namespace powderplan {
namespace {

// Against the plain version: recipes of one to six doses one after the other, on a wall and in a window.
RC_GTEST_PROP(QuickPainter, SeesWhatThePainterSees, ()) {
  const Painter wall = small_painter();
  const bool window = *rc::gen::arbitrary<bool>();
  const Painter painter =
      window ? Painter(wall.palette(), ground_of(wall.palette().sheets.front(), wall.palette().glass.density,
                                                 View::window, per_band([](double w) { return w; }, Spectrum{})),
                       Millimetres(0.1), wall.observer())
             : wall;
  constexpr Load heaviest(1.2);
  QuickPainter quick(painter, heaviest);
  Recipe recipe;
  for (int i = 0; i < 12; ++i) {
    // Like the one before up to some dose, then others.
    recipe.resize(*rc::gen::inRange<std::size_t>(0, recipe.size() + 1));
    const std::size_t more = *rc::gen::inRange<std::size_t>(0, 4);
    for (std::size_t k = 0; k < more && recipe.size() < 6; ++k)
      lay_on(recipe, {*rc::gen::inRange<std::size_t>(0, painter.palette().powders.size()),
                      Load(*rc::gen::inRange(1, 200) / 1000.0)});
    const Lab plain = painter.lab(recipe), seen = to_lab(quick.lab(recipe));
    RC_ASSERT(std::abs(seen.l - plain.l) <= quick_painter_lab);
    RC_ASSERT(std::abs(seen.a - plain.a) <= quick_painter_lab);
    RC_ASSERT(std::abs(seen.b - plain.b) <= quick_painter_lab);
  }
}

}  // namespace
}  // namespace powderplan
