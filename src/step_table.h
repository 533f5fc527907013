// Functions that grow in steps, told from a table: for conversions to whole numbers that are asked for
// millions of times.
#pragma once

#include <cmath>
#include <cstddef>
#include <functional>
#include <vector>

namespace powderplan {

// Answers what `step` answers, from 0 up to `last`, for values in [0, 1]; `step` must not fall where values
// grow. Where each step begins is found by halving, to the last bit, once.
class StepTable {
 public:
  StepTable(std::size_t last, const std::function<std::size_t(double)>& step) {
    for (std::size_t wanted = 1; wanted <= last; ++wanted) {
      double below = 0, from = 1;
      if (step(1) < wanted)
        break;
      if (step(0) >= wanted)
        from = 0;
      double middle = from / 2;
      while (from > 0 && middle > below && middle < from) {
        (step(middle) < wanted ? below : from) = middle;
        middle = below + (from - below) / 2;
      }
      begins_.push_back(from);
    }
    begins_.push_back(std::nextafter(1.0, 2.0));  // no value reaches it
    for (std::size_t i = 0; i <= places; ++i)
      at_place_.push_back(step(static_cast<double>(i) / places));
  }
  std::size_t operator()(double value) const {
    std::size_t step = at_place_[static_cast<std::size_t>(value * places)];
    while (value >= begins_[step])
      ++step;
    return step;
  }

 private:
  static constexpr std::size_t places = 1 << 14;
  std::vector<double> begins_;         // of steps 1, 2, ...
  std::vector<std::size_t> at_place_;  // the step of each of the evenly spaced values
};

}  // namespace powderplan
