#include "plan/firing_trials.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "layers/fired_look.h"
#include "layers/softening.h"
#include "plan/plan_stencils.h"
#include "problem.h"
#include "separation/fidelity.h"

namespace powderplan {
namespace {

// Points across the smallest width of a trial.
constexpr double points_of_trial = 2;
// Nests beyond the firings allowed, whose stencils would stand on spacers.
constexpr std::size_t nests_beyond = 2;
// Few fades tell what fades can do; each more takes twice the time.
constexpr std::size_t fades_of_trial = 5;

// Every `factor`th point stands for its square: the mean colour, bare where most of it is.
Target coarser(const Target& target, int factor) {
  if (factor <= 1)
    return target;
  const cv::Size size(std::max(1, target.grid.width / factor), std::max(1, target.grid.height / factor));
  Target out;
  out.grid = {target.grid.pitch * factor, size.width, size.height};
  const auto shrunk = [&](const Image<LabPixel>& from) {
    Image<LabPixel> to(size.width, size.height);
    const cv::Mat whole(from.height(), from.width(), CV_32FC3, const_cast<LabPixel*>(from.data()));
    cv::Mat small(size, CV_32FC3, to.data());
    cv::resize(whole, small, size, 0, 0, cv::INTER_AREA);
    return to;
  };
  out.wanted = shrunk(target.wanted);
  out.picture = out.wanted;
  if (!target.bare.empty()) {
    out.bare = Image<std::uint8_t>(size.width, size.height);
    const cv::Mat whole(target.bare.height(), target.bare.width(), CV_8U,
                        const_cast<std::uint8_t*>(target.bare.data()));
    cv::Mat small(size, CV_8U, out.bare.data()), shares;
    whole.convertTo(shares, CV_32F);
    cv::resize(shares, shares, size, 0, 0, cv::INTER_AREA);
    shares.convertTo(small, CV_8U);
  }
  return out;
}

// Whether stencils on spacers are to be tried at all.
bool raising_pays(const FiringLimits& limits) {
  return limits.raised == RaisedUse::freely ||
         (limits.raised == RaisedUse::when_needed && limits.most_firings);
}

// Whether every powder that must be in the plan is in the choice: few nests may have no room for one.
bool holds_all(const Choice& choice, const std::vector<std::size_t>& use) {
  const std::vector<std::size_t> held = powders_of(choice);
  return std::all_of(use.begin(), use.end(), [&](std::size_t powder) {
    return std::find(held.begin(), held.end(), powder) != held.end();
  });
}

// Firings of one separation.
class Trials {
 public:
  Trials(const Painter& painter, const Target& target, const StencilRules& stencils, const KilnLimits& kiln,
         std::size_t most_layers)
      : painter_(painter), target_(target), stencils_(stencils), kiln_(kiln), most_layers_(most_layers) {}

  // With no stencil on spacers.
  [[nodiscard]] std::optional<FiringTrial> flat(std::size_t nests, const std::vector<Layer>& layers) const {
    FiringLimits limits = kiln_.firing;
    limits.most_firings.reset();
    limits.rather_at_most.reset();
    limits.raised = RaisedUse::never;
    return tried(nests, layers, limits);
  }
  // In at most so many firings, with as many on spacers as that takes.
  [[nodiscard]] std::optional<FiringTrial> within(int firings, std::size_t nests,
                                                  const std::vector<Layer>& layers) const {
    FiringLimits limits = kiln_.firing;
    limits.most_firings = firings;
    limits.raised = RaisedUse::when_needed;
    return tried(nests, layers, limits);
  }

 private:
  [[nodiscard]] std::optional<FiringTrial> tried(std::size_t nests, std::vector<Layer> layers,
                                                 const FiringLimits& limits) const {
    const KilnLimits kiln{kiln_.sheet, kiln_.palette, limits};
    try {
      hold_together(layers, kiln, painter_, target_, stencils_, most_layers_);
      const Image<LabPixel> look = look_of(layers);
      const FiringPlan plan =
          plan_firings(layers, kiln, softening_costs(layers, look, raised_softening, target_.grid));
      FiringTrial trial;
      trial.firings = static_cast<int>(plan.firings.size());
      trial.raised = static_cast<int>(raised_stencils(plan));
      trial.nests = nests;
      trial.mean_de00 = trial.softened_de00 = difference(target_.wanted, look, target_.bare).mean;
      if (trial.raised > 0)
        trial.softened_de00 =
            difference(target_.wanted,
                       look_of(softened(layers, raised_layers(plan), raised_softening, target_.grid)),
                       target_.bare)
                .mean;
      return trial;
    } catch (const Problem&) {
      return std::nullopt;  // these layers cannot be fired so
    }
  }
  [[nodiscard]] Image<LabPixel> look_of(const std::vector<Layer>& layers) const {
    return fired_colours(painter_, layers, target_.grid);
  }

  const Painter& painter_;
  const Target& target_;
  const StencilRules& stencils_;
  const KilnLimits& kiln_;
  std::size_t most_layers_;
};

}  // namespace

std::optional<std::size_t> trial_to_take(const std::vector<FiringTrial>& trials, const FiringLimits& limits) {
  int most = 0;
  for (const FiringTrial& trial : trials)
    most = std::max(most, trial.firings);
  most = std::min(most, limits.most_firings.value_or(limits.rather_at_most.value_or(most)));
  const auto error = [&](std::size_t i) { return trials[i].softened_de00; };
  if (limits.raised == RaisedUse::freely) {
    for (int firings = 1; firings <= most; ++firings) {
      const auto flat = best_trial(trials, firings, false), soft = best_trial(trials, firings, true);
      if (flat || soft)
        return !soft || (flat && error(*flat) <= error(*soft)) ? flat : soft;
    }
    return std::nullopt;
  }
  const auto flat = best_trial(trials, most, false);
  if (limits.raised != RaisedUse::never && (!flat || limits.most_firings)) {
    const auto soft = best_trial(trials, most, true);
    if (!flat || (soft && error(*soft) < error(*flat) * (1 - least_gain_of_raising)))
      return soft;
  }
  if (!flat)
    return std::nullopt;
  // Each firing less may cost so much.
  const double price = limits.most_firings ? price_of_firing_allowed : price_of_firing;
  for (int firings = 1; firings < trials[*flat].firings; ++firings) {
    const auto fewer = best_trial(trials, firings, false);
    if (fewer && error(*fewer) <= error(*flat) * (1 + price * (trials[*flat].firings - firings)))
      return fewer;
  }
  return flat;
}

FiringLimits without_limit(FiringLimits limits) {
  limits.most_firings = static_cast<int>(most_nests_tried);
  limits.raised = RaisedUse::when_needed;
  return limits;
}

void refuse_number_of_firings(const std::vector<FiringTrial>& tried, const FiringLimits& limits) {
  const int allowed = limits.most_firings.value_or(0);
  std::vector<std::string> remedies;
  for (int firings = allowed + 1; firings <= static_cast<int>(most_nests_tried) && remedies.empty();
       ++firings) {
    if (best_trial(tried, firings, false) ||
        (limits.raised != RaisedUse::never && best_trial(tried, firings, true)))
      remedies.push_back(fmt::format("--firings {}", firings));
  }
  if (remedies.empty())
    return;
  const std::string needed = remedies.front().substr(std::string_view("--firings ").size());
  if (limits.raised == RaisedUse::never && best_trial(tried, allowed, true))
    remedies.emplace_back("stencils raised on spacers (--raised when-needed)");
  throw Problem(ProblemKind::infeasible, "--firings",
                fmt::format("what is asked for needs {} firings, more than the {} allowed", needed, allowed),
                fmt::format("allow {}", fmt::join(remedies, ", or ")));
}

TrialsOfFirings try_firings(const Painter& painter, const Target& target, const SeparationRules& rules,
                            const StencilRules& stencils, const KilnLimits& kiln,
                            const std::function<void(double)>& progress) {
  const auto factor =
      static_cast<int>(std::floor(rules.smallest / target.grid.pitch / points_of_trial + 1e-6));
  const Target coarse = coarser(target, factor);
  const std::vector<WeightedColour> colours = choice_colours(target, rules.smallest);
  const FiringLimits& limits = kiln.firing;
  const Trials trials(painter, coarse, stencils, kiln, rules.limits.most_layers);
  const auto allowed =
      static_cast<std::size_t>(limits.most_firings.value_or(limits.rather_at_most.value_or(4)));
  const std::size_t beyond = limits.most_firings && raising_pays(limits) ? nests_beyond : 0;
  const std::size_t most = std::min({allowed + beyond, most_nests_tried, rules.limits.most_layers});
  TrialsOfFirings found;
  for (std::size_t nests = 1; nests <= most; ++nests) {
    if (progress)
      progress(static_cast<double>(nests - 1) / static_cast<double>(most));
    SeparationRules with = rules;
    Choice kept;
    with.limits.most_nests = nests;
    // What serves the colours best need not serve the map best: widths, bridges and fades decide. So the
    // choice of the ordered search and the one found by lot are both tried.
    const Choice settled = search_choice(painter, colours, with.limits, SearchEffort::settled).choice;
    if (!holds_all(settled, rules.limits.use)) {
      found.choices.push_back(settled);  // no trial refers to it
      continue;
    }
    const Choice by_lot = search_on(painter, colours, with.limits, settled).choice;
    with.quick = true;
    with.fades.most_fades = fades_of_trial;
    std::optional<FiringTrial> best;
    std::vector<Layer> layers;
    for (const Choice& choice : {settled, by_lot}) {
      if (!layers.empty() && by_lot == settled)
        break;
      with.choice = choice;
      std::vector<Layer> tried = make_layers(separate(painter, coarse, with));
      const auto trial = trials.flat(nests, tried);
      if (layers.empty() || (trial && (!best || trial->mean_de00 < best->mean_de00))) {
        best = trial;
        layers = std::move(tried);
        kept = choice;
      }
    }
    found.choices.push_back(kept);
    if (best)
      found.trials.push_back(*best);
    const int most_raised = raising_pays(limits) ? limits.most_firings.value_or(1) : 0;
    for (int firings = 1; firings <= most_raised; ++firings) {
      if (best && best->firings <= firings)
        break;
      if (const auto raised = trials.within(firings, nests, layers); raised && raised->raised > 0)
        found.trials.push_back(*raised);
    }
  }
  return found;
}

}  // namespace powderplan
