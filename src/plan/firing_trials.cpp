#include "plan/firing_trials.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <mutex>

#include "layers/fired_look.h"
#include "layers/softening.h"
#include "parallel.h"
#include "plan/plan_stencils.h"
#include "problem.h"
#include "raster/area_mean.h"
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
  const int width = std::max(1, target.grid.width / factor),
            height = std::max(1, target.grid.height / factor);
  constexpr int channels = 4;  // l, a, b and whether it is bare
  AreaMean means(target.grid.width, target.grid.height, channels, width, height);
  std::vector<float> row;
  for (int y = 0; y < target.grid.height; ++y) {
    row.clear();
    for (int x = 0; x < target.grid.width; ++x) {
      const LabPixel colour = target.wanted.at(x, y);
      const bool bare =
          target.is_bare(static_cast<std::size_t>(y) * static_cast<std::size_t>(target.grid.width) +
                         static_cast<std::size_t>(x));
      row.insert(row.end(), {colour.l, colour.a, colour.b, bare ? 1.0F : 0.0F});
    }
    means.add(row.data());
  }
  Target out;
  out.grid = {target.grid.pitch * factor, width, height};
  out.wanted = Image<PackedLab>(width, height);
  if (!target.bare.empty())
    out.bare = Image<std::uint8_t>(width, height);
  for (std::size_t i = 0; i < out.wanted.size(); ++i) {
    const float* const mean = means.mean().data() + channels * i;
    out.wanted[i] = {mean[0], mean[1], mean[2]};
    if (!out.bare.empty())
      out.bare[i] = mean[3] > 0.5F ? 1 : 0;
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

// What one number of nests came to.
struct OfNests {
  Choice choice;
  std::vector<FiringTrial> trials;
};

// Firings of one separation.
class Trials {
 public:
  Trials(const Painter& painter, const Target& target, const StencilRules& stencils, const KilnLimits& kiln,
         std::size_t most_layers)
      : painter_(painter), target_(target), stencils_(stencils), kiln_(kiln), most_layers_(most_layers) {}

  // As the layers are, before anything is bridged.
  [[nodiscard]] double error_of(const std::vector<Layer>& layers) const {
    return difference(target_.wanted, look_of(layers), target_.bare).mean;
  }
  // With no stencil on spacers.
  [[nodiscard]] std::optional<FiringTrial> flat(std::size_t nests, std::vector<Layer> layers) const {
    FiringLimits limits = kiln_.firing;
    limits.most_firings.reset();
    limits.rather_at_most.reset();
    limits.raised = RaisedUse::never;
    return tried(nests, std::move(layers), limits);
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
      constexpr bool to_be_cut = false;
      hold_together(layers, kiln, painter_, target_, stencils_, most_layers_, {}, to_be_cut);
      const Image<PackedLab> look = look_of(layers);
      // Only where there is a choice of what to raise does it matter what softens.
      const FiringPlan plan =
          limits.raised == RaisedUse::never
              ? plan_firings(layers, kiln)
              : plan_firings(layers, kiln, softening_costs(layers, look, raised_softening, target_.grid));
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
  [[nodiscard]] Image<PackedLab> look_of(const std::vector<Layer>& layers) const {
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
                            const StencilRules& stencils, const KilnLimits& kiln, const KeptResults& kept,
                            const std::string& which, const std::function<void(double)>& progress) {
  const auto factor =
      static_cast<int>(std::floor(rules.smallest / target.grid.pitch / points_of_trial + 1e-6));
  const Target coarse = coarser(target, factor);
  std::vector<WeightedColour> colours;
  kept.fill(
      KeptStep::separation, which + " colours", [&] { colours = choice_colours(target, rules.smallest); },
      colours);
  const FiringLimits& limits = kiln.firing;
  const Trials trials(painter, coarse, stencils, kiln, rules.limits.most_layers);
  const auto allowed =
      static_cast<std::size_t>(limits.most_firings.value_or(limits.rather_at_most.value_or(4)));
  const std::size_t beyond = limits.most_firings && raising_pays(limits) ? nests_beyond : 0;
  const std::size_t most = std::min({allowed + beyond, most_nests_tried, rules.limits.most_layers});
  const auto layers_of = [&](std::size_t nests, const Choice& choice) {
    SeparationRules with = rules;
    with.limits.most_nests = nests;
    with.quick = true;
    with.fades.most_fades = fades_of_trial;
    with.choice = choice;
    Separation separation;
    kept.fill(
        KeptStep::separation, which + " coarse " + fingerprint_of_rules(with),
        [&] { separation = separate(painter, coarse, with); }, separation);
    return make_layers(separation);
  };
  // The choice to go on with, and what it comes to without a stencil on spacers.
  const auto flat_on_glass = [&](std::size_t nests, Choice& taken, std::optional<FiringTrial>& best) {
    ChoiceLimits within = rules.limits;
    within.most_nests = nests;
    // What serves the colours best need not serve the map best: widths, bridges and fades decide. So the
    // choice of the ordered search and the one found by lot are both tried.
    Choice settled, by_lot;
    SeparationRules searched = rules;
    searched.limits = within;
    kept.fill(
        KeptStep::separation, which + " choices " + fingerprint_of_rules(searched),
        [&] {
          settled = by_lot = search_choice(painter, colours, within, SearchEffort::settled).choice;
          if (holds_all(settled, rules.limits.use))
            by_lot = search_on(painter, colours, within, settled).choice;
        },
        settled, by_lot);
    taken = settled;
    if (!holds_all(settled, rules.limits.use))
      return;  // no trial refers to it
    struct Candidate {
      Choice choice;
      std::vector<Layer> layers;
      double error;  // without bridges, which only add to it
    };
    std::vector<Candidate> candidates;
    const auto add = [&](const Choice& choice) {
      std::vector<Layer> layers = layers_of(nests, choice);
      const double error = trials.error_of(layers);
      candidates.push_back({choice, std::move(layers), error});
    };
    add(settled);
    if (by_lot != settled)
      add(by_lot);
    std::stable_sort(candidates.begin(), candidates.end(),
                     [](const Candidate& a, const Candidate& b) { return a.error < b.error; });
    for (Candidate& candidate : candidates) {
      if (best && candidate.error >= best->mean_de00)
        break;
      const auto trial = trials.flat(nests, std::move(candidate.layers));
      if (trial && (!best || trial->mean_de00 < best->mean_de00)) {
        best = trial;
        taken = candidate.choice;
      }
    }
  };
  const auto of_nests = [&](std::size_t nests) {
    OfNests of;
    std::optional<FiringTrial> flat;
    kept.fill(
        KeptStep::nests, fmt::format("{} {}", which, nests), [&] { flat_on_glass(nests, of.choice, flat); },
        of.choice, flat);
    if (flat)
      of.trials.push_back(*flat);
    const int most_raised =
        raising_pays(limits) && holds_all(of.choice, rules.limits.use) ? limits.most_firings.value_or(1) : 0;
    std::vector<Layer> layers;
    for (int firings = 1; firings <= most_raised; ++firings) {
      if (flat && flat->firings <= firings)
        break;
      if (layers.empty())
        layers = layers_of(nests, of.choice);
      if (const auto raised = trials.within(firings, nests, layers); raised && raised->raised > 0)
        of.trials.push_back(*raised);
    }
    return of;
  };
  // Each number of nests is work of its own; the most nests, which take longest, come first.
  std::vector<OfNests> by_nests(most);
  std::mutex reports;
  std::size_t begun = 0;
  for_each_block(most, [&](std::size_t i) {
    {
      const std::lock_guard guard(reports);
      if (progress)
        progress(static_cast<double>(begun++) / static_cast<double>(most));
    }
    by_nests[most - 1 - i] = of_nests(most - i);
  });
  TrialsOfFirings found;
  for (OfNests& of : by_nests) {
    found.choices.push_back(std::move(of.choice));
    found.trials.insert(found.trials.end(), of.trials.begin(), of.trials.end());
  }
  return found;
}

}  // namespace powderplan
