#include "recipe/quick_painter.h"

#include <algorithm>

namespace powderplan {

QuickPainter::QuickPainter(const Painter& painter, Load heaviest)
    : painter_(&painter),
      heaviest_(heaviest),
      tables_(painter.palette().powders.size()),
      stack_(painter.ground(), painter.observer()) {}

Lab QuickPainter::lab(const Recipe& recipe) {
  const auto same = static_cast<std::size_t>(
      std::mismatch(laid_.begin(), laid_.end(), recipe.begin(), recipe.end()).first - laid_.begin());
  stack_.keep_lowest(same);
  for (std::size_t i = same; i < recipe.size(); ++i) {
    const Dose& dose = recipe[i];
    std::optional<CoatTable>& table = tables_[dose.powder];
    if (!table)
      table = painter_->coats(dose.powder, heaviest_);
    stack_.lay(table->of(dose.load, room_));
  }
  laid_ = recipe;
  return to_lab(to_xyz(stack_.colour()));
}

}  // namespace powderplan
