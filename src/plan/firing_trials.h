// What each number of firings would cost the picture, tried on a coarse grid before the plan is made.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "firing/firing.h"
#include "firing/firing_trial.h"
#include "layers/stencil.h"
#include "plan/kept_results.h"
#include "separation/separate.h"

namespace powderplan {

struct TrialsOfFirings {
  std::vector<FiringTrial> trials;
  std::vector<Choice> choices;  // by number of nests, from 1
};

// Separations whose stencils make one nest, two, ... each its own firing, without any on spacers; and, where
// those are allowed and firings are to be saved, the same in fewer firings. On points of half the smallest
// width. No trial for a number of nests that has no room for all powders that must be in the plan. Each
// number of nests is kept for later runs; `which` tells targets of one request apart.
TrialsOfFirings try_firings(const Painter& painter, const Target& target, const SeparationRules& rules,
                            const StencilRules& stencils, const KilnLimits& kiln, const KeptResults& kept,
                            const std::string& which, const std::function<void(double share)>& progress = {});

// The trial to go on with, a place in `trials`; nothing: none keeps the limits. With a limit of firings the
// one of least error within it, on spacers only where that gains least_gain_of_raising, with fewer firings
// where each one less costs no more than price_of_firing_allowed. Without a limit no more than
// rather_at_most, and fewer where each one less costs no more than price_of_firing. With RaisedUse::freely
// the fewest firings, then the least error.
std::optional<std::size_t> trial_to_take(const std::vector<FiringTrial>& trials, const FiringLimits& limits);

// Where no trial keeps a limit of firings: throws Problem (infeasible) with the fewest that would do, and
// whether stencils on spacers would. `tried` are trials of a wider limit (without_limit). Returns where none
// of these does either.
void refuse_number_of_firings(const std::vector<FiringTrial>& tried, const FiringLimits& limits);

// The limits with as many firings as are ever tried, and stencils on spacers.
FiringLimits without_limit(FiringLimits limits);

// Shares of the mean error. Our choice: a firing is a day, and 5 % is hardly seen.
inline constexpr double least_gain_of_raising = 0.03;
inline constexpr double price_of_firing_allowed = 0.01;
inline constexpr double price_of_firing = 0.05;
// More nests than this are not tried; and in a plan with more firings the stencils are not kept in nests.
inline constexpr std::size_t most_nests_tried = 6;

}  // namespace powderplan
