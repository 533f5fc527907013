// What other numbers of firings would cost the picture, as it is told to people and to scripts.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "firing/firing.h"
#include "firing/firing_trial.h"

namespace powderplan {

// For each number of firings that was tried the best trial with every stencil flat, then the best with some
// on spacers; each only where no trial of its kind is as good in fewer firings.
std::vector<FiringTrial> firing_choices(const std::vector<FiringTrial>& trials);

// Those of them that somebody who decides wants to see: stencils on spacers only where they gain something
// over flat ones, or where the plan has some itself. At most `most`, those nearest to the plan's number of
// firings.
std::vector<FiringTrial> choices_to_tell(const std::vector<FiringTrial>& trials, const FiringPlan& plan,
                                         std::size_t most);

// Which of these choices the plan has followed: as many firings, on spacers or not. Nothing when it needs
// another number than any.
std::optional<std::size_t> choice_of_plan(const std::vector<FiringTrial>& choices, const FiringPlan& plan);

// "colours: 1 firing 3.4, 2 firings 2.9 (mean CIEDE2000, about)", with softened edges; empty without trials.
std::string costs_in_words(const std::vector<FiringTrial>& trials);
// "12 % farther off", against another choice; "just as close" below half a percent.
std::string farther_off(const FiringTrial& choice, const FiringTrial& than);
// Whether fewer firings are possible for the layers of the plan; empty where nothing was planned.
std::string fewest_in_words(const FiringPlan& plan, RaisedUse raised_use);

}  // namespace powderplan
