// What a number of firings would cost the picture.
#pragma once

#include <cstddef>
#include <optional>
#include <vector>

namespace powderplan {

// One way to fire a piece, tried on a coarse grid. Errors are means of CIEDE2000.
struct FiringTrial {
  int firings = 0;
  int raised = 0;            // stencils on spacers
  std::size_t nests = 0;     // that the stencils were made for
  double mean_de00 = 0;      // as planned
  double softened_de00 = 0;  // with the softened edges of raised stencils
};

// The best trial in at most so many firings, on spacers or not; nothing when there is none.
std::optional<std::size_t> best_trial(const std::vector<FiringTrial>& trials, int most_firings, bool raised);

}  // namespace powderplan
