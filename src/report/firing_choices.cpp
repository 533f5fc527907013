#include "report/firing_choices.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "report/bench_numbers.h"
#include "spoken.h"

namespace powderplan {
namespace {

// Whether the choice is a poorer one than some flat one in no more firings.
bool gains_nothing(const FiringTrial& choice, const std::vector<FiringTrial>& choices) {
  return choice.raised > 0 && std::any_of(choices.begin(), choices.end(), [&](const FiringTrial& other) {
           return other.raised == 0 && other.firings <= choice.firings &&
                  other.softened_de00 <= choice.softened_de00;
         });
}

bool followed(const FiringTrial& choice, const FiringPlan& plan) {
  return choice.firings == static_cast<int>(plan.firings.size()) &&
         (choice.raised > 0) == (raised_stencils(plan) > 0);
}

}  // namespace

std::vector<FiringTrial> firing_choices(const std::vector<FiringTrial>& trials) {
  int most = 0;
  for (const FiringTrial& trial : trials)
    most = std::max(most, trial.firings);
  std::vector<FiringTrial> choices;
  std::optional<double> least[2];  // error so far: flat, on spacers
  for (int firings = 1; firings <= most; ++firings) {
    for (const bool raised : {false, true}) {
      const auto best = best_trial(trials, firings, raised);
      std::optional<double>& before = least[raised ? 1 : 0];
      if (!best || (before && trials[*best].softened_de00 >= *before))
        continue;
      before = trials[*best].softened_de00;
      choices.push_back(trials[*best]);
    }
  }
  return choices;
}

std::vector<FiringTrial> choices_to_tell(const std::vector<FiringTrial>& trials, const FiringPlan& plan,
                                         std::size_t most) {
  const std::vector<FiringTrial> all = firing_choices(trials);
  std::vector<FiringTrial> told;
  for (const FiringTrial& choice : all) {
    if (followed(choice, plan) || !gains_nothing(choice, all))
      told.push_back(choice);
  }
  const int planned = static_cast<int>(plan.firings.size());
  const auto far = [&](const FiringTrial& choice) {
    return followed(choice, plan) ? -1 : std::abs(choice.firings - planned);
  };
  while (told.size() > most) {
    // Of two equally far the one with more firings goes.
    auto farthest = told.begin();
    for (auto choice = told.begin(); choice != told.end(); ++choice) {
      if (far(*choice) >= far(*farthest))
        farthest = choice;
    }
    told.erase(farthest);
  }
  return told;
}

std::optional<std::size_t> choice_of_plan(const std::vector<FiringTrial>& choices, const FiringPlan& plan) {
  for (std::size_t i = 0; i < choices.size(); ++i) {
    if (followed(choices[i], plan))
      return i;
  }
  return std::nullopt;
}

std::string costs_in_words(const std::vector<FiringTrial>& trials) {
  const std::vector<FiringTrial> choices = firing_choices(trials);
  std::string words;
  for (const FiringTrial& choice : choices) {
    if (gains_nothing(choice, choices))
      continue;
    words += words.empty() ? "colours: " : ", ";
    words += counted(static_cast<std::size_t>(choice.firings), "firing");
    if (choice.raised > 0)
      words +=
          fmt::format(" with {} on spacers", counted(static_cast<std::size_t>(choice.raised), "stencil"));
    words += fmt::format(" {}", shown_difference(choice.softened_de00));
  }
  return words.empty() ? "" : fmt::format("{} (mean CIEDE2000, about)", words);
}

std::string farther_off(const FiringTrial& choice, const FiringTrial& than) {
  if (than.softened_de00 <= 0)
    return choice.softened_de00 > 0 ? "farther off" : "just as close";
  const double more = 100 * (choice.softened_de00 / than.softened_de00 - 1);
  if (std::abs(more) < 0.5)
    return "just as close";
  return fmt::format("{:.0f} % {}", std::abs(more), more > 0 ? "farther off" : "closer");
}

std::string fewest_in_words(const FiringPlan& plan, RaisedUse raised_use) {
  const auto firings = static_cast<int>(plan.firings.size());
  if (firings == 0 || plan.least_firings == 0)
    return {};
  const bool on_spacers = raised_stencils(plan) > 0;
  if (firings == plan.least_firings) {
    if (firings == 1)
      return on_spacers && !plan.proven ? "perhaps fewer stencils on spacers would do" : "";
    // Where flat stencils did, spacers were not looked at unless they may be used freely.
    std::string words = "no plan of these layers has fewer";
    if (!on_spacers && raised_use != RaisedUse::freely)
      words += ", with every stencil flat on the glass";
    else if (on_spacers && !plan.proven)
      words += "; perhaps fewer stencils on spacers would do";
    return words;
  }
  if (!plan.proven)
    return fmt::format("these layers need at least {}; whether fewer than {} would do is not settled",
                       plan.least_firings, firings);
  return fmt::format("fewer would take more stencils on spacers; at least {} {} needed", plan.least_firings,
                     plan.least_firings == 1 ? "is" : "are");
}

}  // namespace powderplan
