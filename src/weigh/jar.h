// What a run of siftings asks of one jar.
#pragma once

#include <algorithm>

#include "units.h"

namespace powderplan {

// At every sifting the jar must hold what earlier ones have used up and all that leaves the sifter now: most
// of what does not land goes back into it.
class Jar {
 public:
  void sift(Grams leaves, Grams uses) {
    busiest_ = std::max(busiest_, used_ + leaves);
    used_ += uses;
  }
  [[nodiscard]] Grams used() const { return used_; }
  // What a jar of this much lacks, 0 when nothing.
  [[nodiscard]] Grams short_of(Grams held) const { return std::max(Grams(0), busiest_ - held); }

 private:
  Grams used_, busiest_;
};

}  // namespace powderplan
