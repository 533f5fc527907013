// The formulas of optics/stack.h in single precision, for those who need them millions of times: coats read
// from a table of loads, and one coat laid on one state of a stack.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "optics/stack.h"

namespace powderplan {

// One number a band; what fills the last vector up is 0.
struct alignas(32) QuickBands {
  std::array<float, 32> at{};
};
QuickBands narrowed(const Spectrum& spectrum);

// CoveringLayer; `straight` is the share of the light that it does not scatter, exp(-scatter).
struct QuickCoat {
  float cover = 0, matte = 0;
  float clearest = 1;  // most of any band's transmittance
  QuickBands reflect, transmit, straight;
};

// Coats of one powder in one state of heat, by their load. They are computed for some hundred loads, each
// when it is first needed, and taken as linear between two of those; loads grow as squares, because where
// little lies a little more changes much. For one thread.
class CoatTable {
 public:
  // For loads up to `most`, at which nothing is taken as linear.
  CoatTable(const PowderOptics& powder, const FinishValues& finish, Density density, Load most);
  // `load` above 0. The answer lies in the table or in `room`.
  const QuickCoat& of(Load load, QuickCoat& room);

 private:
  struct Node {
    bool made = false;
    QuickCoat coat;
  };
  const QuickCoat& node(std::size_t place);

  PowderOptics powder_;
  FinishValues finish_;
  Density density_;
  Load most_;
  std::vector<Node> nodes_;
};

// StackState; `straight` as of a coat. A wall needs only what it reflects.
struct QuickState {
  QuickBands reflect;
};
struct QuickBehind {
  QuickBands transmit, reflect_below, straight;
};
QuickState narrowed_state(const StackState& state);
QuickBehind narrowed_behind(const StackState& state);

// laid_on and seen of stack.h in one: what is seen of the stack with the coat on it, times `share`, is added
// to `seen`.
void cover_on_wall(const QuickState& below, const QuickCoat& coat, float share, QuickState& above,
                   QuickBands& seen);
void cover_in_window(const QuickState& below, const QuickBehind& behind, const QuickCoat& coat, float share,
                     QuickState& above, QuickBehind& above_behind, QuickBands& seen);

// Sum of products, in an order of its own, so that it does not depend on the width of vectors.
float weighed(const QuickBands& weights, const QuickBands& values);

}  // namespace powderplan
