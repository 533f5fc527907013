// The colours of recipe/painter.h for millions of recipes: single precision, coats from tables, and stacks
// that go on from what they have in common with the one before.
#pragma once

#include <optional>
#include <vector>

#include "optics/quick_stack.h"
#include "recipe/painter.h"

namespace powderplan {

// How far a colour differs from Painter::lab at most, in L*, a* and b*.
inline constexpr double quick_painter_lab = 0.25;

// For one thread; the answers do not depend on what was asked before.
class QuickPainter {
 public:
  // For doses of up to `heaviest`. The painter must outlive it.
  QuickPainter(const Painter& painter, Load heaviest);
  Lab lab(const Recipe& recipe);

 private:
  const Painter* painter_;
  Load heaviest_;
  std::vector<std::optional<CoatTable>> tables_;  // by powder of the palette
  QuickStack stack_;
  Recipe laid_;  // on stack_
  QuickCoat room_;
};

}  // namespace powderplan
