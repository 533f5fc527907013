// The stack of optics/stack.h for pictures of millions of points: the same formulas in single precision,
// coats read from a table of loads, and stacks that go on from what they have in common with the one before.
#pragma once

#include <array>
#include <cstddef>
#include <vector>

#include "colour/observer.h"
#include "optics/stack.h"

namespace powderplan {

// By how many codes of sRGB (255ths, not rounded) a colour differs from that of optics/stack.h, at most.
inline constexpr double quick_stack_codes = 0.25;

// One number a band; what fills the last vector up is 0.
struct alignas(32) QuickBands {
  std::array<float, 32> at{};
};

// CoveringLayer; `straight` is the share of the light that it does not scatter, exp(-scatter).
struct QuickCoat {
  float cover = 0, matte = 0;
  float clearest = 1;  // most of any band's transmittance
  QuickBands reflect, transmit, straight;
};

// Coats of one powder in one state of heat, by their load. They are computed for 256 loads, each when it is
// first needed, and taken as linear between two of those; loads grow as squares, because where little lies a
// little more changes much. For one thread.
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
    QuickBands reflect;
  };
  // What a window needs beside that.
  struct Behind {
    QuickBands transmit, reflect_below, straight;
  };
  // The ground, or a coat as it lies: all states that it is on top of.
  struct Stage {
    float open = 0;  // share that it leaves of what lies below
    std::array<float, 3> colour{};
    std::vector<Part> parts;
    std::vector<Behind> behind;
  };

  void cover(const Part& below, const Behind* behind, float share, const QuickCoat& coat, Stage& into,
             QuickBands& seen) const;
  void see(const QuickBands& seen, Stage& stage) const;

  View view_;
  std::array<QuickBands, 3> weights_;  // what a band gives to red, green and blue
  std::size_t coats_ = 0;
  std::vector<Stage> stages_;  // those in use are the first coats_ + 1
};

}  // namespace powderplan
