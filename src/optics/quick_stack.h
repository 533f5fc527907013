// The stack of optics/stack.h for pictures of millions of points: the same formulas in single precision,
// coats read from a table of loads, and stacks that go on from what they have in common with the one before.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "colour/observer.h"
#include "optics/quick_bands.h"

namespace powderplan {

// By how many codes of sRGB (255ths, not rounded) a colour differs from that of optics/stack.h, at most.
inline constexpr double quick_stack_codes = 0.25;

// Like Stack. Coats can be taken off again, so that the next stack begins with those that both have.
class QuickStack {
 public:
  QuickStack(const Ground& ground, const Observer& observer);
  [[nodiscard]] std::size_t coats() const { return coats_; }
  void keep_lowest(std::size_t coats) { coats_ = coats; }
  void lay(const QuickCoat& coat);
  // What the observer sees, each state of the stack by its share.
  [[nodiscard]] LinearRgb colour() const;

 private:
  // A state with some coat on top.
  struct Part {
    float share = 0;  // of the spot, when no other coat lies on it
    QuickState state;
  };
  // The ground, or a coat as it lies: all states that it is on top of.
  struct Stage {
    float open = 0;  // share that it leaves of what lies below
    std::array<float, 3> colour{};
    std::vector<Part> parts;
    std::vector<QuickBehind> behind;
  };

  void cover(const Part& below, const QuickBehind* behind, float share, const QuickCoat& coat, Stage& into,
             QuickBands& seen) const;
  void see(const QuickBands& seen, Stage& stage) const;

  View view_;
  std::array<QuickBands, 3> weights_;  // what a band gives to red, green and blue
  std::size_t coats_ = 0;
  std::vector<Stage> stages_;  // those in use are the first coats_ + 1
};

}  // namespace powderplan
