#include "firing/firing_trial.h"

namespace powderplan {

std::optional<std::size_t> best_trial(const std::vector<FiringTrial>& trials, int most_firings, bool raised) {
  std::optional<std::size_t> best;
  for (std::size_t i = 0; i < trials.size(); ++i) {
    if (trials[i].firings <= most_firings && (trials[i].raised > 0) == raised &&
        (!best || trials[i].softened_de00 < trials[*best].softened_de00))
      best = i;
  }
  return best;
}

}  // namespace powderplan
