#include "separation/fade_search.h"

#include <algorithm>
#include <map>
#include <optional>

#include "parallel.h"

namespace powderplan {
namespace {

// A fade may become heavier than the coat it was by this factor in one fit.
constexpr double headroom = 1.6;
constexpr int steps_of_trial = 2;
constexpr int steps_of_fit = 3;
// A fade that starts from nothing: an even coat of this share of the largest load, a third of it laid.
constexpr double start_share = 0.5;
constexpr float start_amount = 0.3F;
constexpr std::size_t samples_of_trials = 2500;
constexpr std::size_t tried_at_once = 2;

// What of the nest's whole load the layer may still take.
Load most_load_of(const FadedChoice& faded, std::size_t fade, const ChoiceLimits& limits) {
  const HandLaid& laid = faded.fades[fade];
  Load others;
  if (!laid.free) {
    const Nest& nest = faded.stencils.choice[laid.nest];
    others = total_load(nest) - nest.steps[laid.step - 1].load;
  }
  return limits.most_load - others;
}

// The same field with room above its heaviest spot.
void give_headroom(FadedChoice& faded, std::size_t fade, const ChoiceLimits& limits) {
  const Load now = load_of(faded, fade);
  const Load most = std::min(most_load_of(faded, fade, limits), heaviest_fade);
  const Load then = std::max(now, std::min(now * headroom, most));
  const auto share = static_cast<float>(now / then);
  for (float& weight : faded.fades[fade].amount.weights())
    weight *= share;
  set_load(faded, fade, then);
}

LookTable looks_of(const Painter& painter, const FadedChoice& faded, const FadeSamples& samples,
                   const LookTable* like = nullptr) {
  return {painter, faded, samples.labels_used(faded.stencils.labels.size()), like};
}

struct Trial {
  FadedChoice faded;
  double cost = 0;
};

bool is_fade(const FadedChoice& faded, std::size_t nest, std::size_t step) {
  return std::any_of(faded.fades.begin(), faded.fades.end(), [&](const HandLaid& fade) {
    return !fade.free && fade.nest == nest && fade.step == step;
  });
}

// All layers of a nest of one powder become one fade without a template: its field starts from what
// lies, drawn out softly. Not fitted yet. Returns its place among the fades.
std::size_t drop_template(FadedChoice& faded, FadeSamples& samples, std::size_t p, Millimetres edge) {
  const Grid& grid = samples.grid();
  const Nest nest = faded.stencils.choice[p];
  const Load whole = total_load(nest);
  HandLaid free;
  free.free = true;
  free.nest = p;
  free.powder = nest.steps.front().powder;
  free.load = whole;
  free.amount = SoftField(grid.pitch * grid.width, grid.pitch * grid.height, spacing_for_edge(edge));
  std::vector<float>& weights = free.amount.weights();
  std::vector<float> shares(weights.size(), 0.0F), reached(weights.size(), 0.0F);
  for (const FadeSamples::Sample& sample : samples.all()) {
    double lies = 0;
    for (std::size_t step = 1; step <= faded.stencils.labels[sample.label][p]; ++step) {
      double amount = 1;
      for (const HandLaid& fade : faded.fades) {
        if (!fade.free && fade.nest == p && fade.step == step)
          amount = static_cast<double>(fade.amount.at(fade.amount.reach(sample.x_mm, sample.y_mm)));
      }
      lies += amount * nest.steps[step - 1].load.value();
    }
    const SoftField::Reach reach = free.amount.reach(sample.x_mm, sample.y_mm);
    for (int r = 0; r < 4; ++r) {
      for (int c = 0; c < 4; ++c) {
        const auto j =
            static_cast<std::size_t>((reach.first_row + r) * free.amount.columns() + reach.first_column + c);
        const float share = reach.down[r] * reach.across[c];
        shares[j] += share * static_cast<float>(lies / whole.value());
        reached[j] += share;
      }
    }
  }
  for (std::size_t j = 0; j < weights.size(); ++j)
    weights[j] = reached[j] > 0 ? std::clamp(shares[j] / reached[j], 0.0F, 1.0F) : 0.0F;

  // Free fades lie by place, those of one place in their order: the new one between those below and above p.
  std::vector<HandLaid> fades;
  for (const HandLaid& fade : faded.fades) {
    if (fade.free ? fade.nest <= p : fade.nest != p)
      fades.push_back(fade);
  }
  const std::size_t at = fades.size();
  fades.push_back(free);
  for (const HandLaid& fade : faded.fades) {
    if (fade.free && fade.nest > p)
      fades.push_back(fade);
  }
  for (HandLaid& fade : fades)
    fade.nest -= fade.nest > p ? 1 : 0;
  faded.fades = std::move(fades);

  const auto without = [p](const Tones& tones) {
    std::vector<int> rest(tones.begin(), tones.end());
    rest.erase(rest.begin() + static_cast<std::ptrdiff_t>(p));
    return rest;
  };
  std::map<std::vector<int>, std::uint16_t> number;
  std::vector<Tones> labels;
  std::vector<std::uint16_t> renumbered;
  for (const Tones& tones : faded.stencils.labels) {
    const std::vector<int> rest = without(tones);
    const auto [entry, fresh] = number.try_emplace(rest, static_cast<std::uint16_t>(labels.size()));
    if (fresh)
      labels.emplace_back(rest.begin(), rest.end());
    renumbered.push_back(entry->second);
  }
  faded.stencils.labels = std::move(labels);
  faded.stencils.choice.erase(faded.stencils.choice.begin() + static_cast<std::ptrdiff_t>(p));
  for (std::size_t i = 0; i < faded.stencils.label_at.size(); ++i)
    faded.stencils.label_at[i] = renumbered[faded.stencils.label_at[i]];
  samples.renumber_labels(renumbered);
  return at;
}

bool has_free_fade(const FadedChoice& faded, std::size_t powder) {
  return std::any_of(faded.fades.begin(), faded.fades.end(),
                     [&](const HandLaid& fade) { return fade.free && fade.powder == powder; });
}

class FadeSearch {
 public:
  FadeSearch(FadedChoice& faded, const Painter& painter, FadeSamples& samples, const FadeRules& rules,
             const ChoiceLimits& limits)
      : faded_(faded), painter_(painter), samples_(samples), rules_(rules), limits_(limits) {}

  // What a layer gains as a fade becomes less with each other fade, hardly ever more: so each time only those
  // are tried again that gained more, when they were last tried, than the best of those tried by now.
  void make_fades() {
    struct Candidate {
      std::size_t nest, step;
      double gain;  // when last tried
      std::optional<Trial> trial;
    };
    constexpr double unknown = 1e30;
    std::vector<Candidate> candidates;
    for (std::size_t p = 0; p < faded_.stencils.choice.size(); ++p) {
      for (std::size_t step = 1; step <= faded_.stencils.choice[p].steps.size(); ++step)
        candidates.push_back({p, step, unknown, {}});
    }
    double cost = cost_now();
    while (faded_.fades.size() < rules_.most_fades) {
      std::erase_if(candidates, [&](const Candidate& c) {
        return is_fade(faded_, c.nest, c.step) || crowded(c.nest, c.step) ||
               !rules_.ways_of(faded_.stencils.choice[c.nest].steps[c.step - 1].powder).fade;
      });
      for (Candidate& c : candidates)
        c.trial.reset();
      const LookTable looks = looks_of(painter_, faded_, samples_);
      const auto sort = [&] {
        std::stable_sort(candidates.begin(), candidates.end(),
                         [](const Candidate& a, const Candidate& b) { return a.gain > b.gain; });
      };
      for (sort(); !candidates.empty() && !candidates.front().trial; sort()) {
        std::vector<Candidate*> tried;
        for (Candidate& c : candidates) {
          if (!c.trial && (tried.size() < tried_at_once || c.gain == unknown))
            tried.push_back(&c);
        }
        for_each_block(tried.size(), [&](std::size_t i) {
          tried[i]->trial = with_fade(tried[i]->nest, tried[i]->step, looks);
          tried[i]->gain = 1 - tried[i]->trial->cost / cost;
        });
      }
      if (candidates.empty() || !(candidates.front().gain >= rules_.least_gain))
        break;
      Trial& best = *candidates.front().trial;
      faded_ = std::move(best.faded);
      trim_load(faded_, faded_.fades.size() - 1);
      cost = best.cost;
    }
    refit_fades(faded_, painter_, samples_, limits_, 1);
  }

  // Powders whose openings are hardly needed, and those that may not be laid through any.
  void drop_templates() {
    double cost = cost_now();
    for (std::size_t p = faded_.stencils.choice.size(); p-- > 0;) {
      const Nest& nest = faded_.stencils.choice[p];
      const std::size_t powder = nest.steps.front().powder;
      const PowderWays ways = rules_.ways_of(powder);
      const bool all_fades = nest.steps.size() == 1 && is_fade(faded_, p, 1);
      if (!of_one_powder(nest) || !ways.fade || (ways.stencil && !all_fades))
        continue;
      Trial trial{faded_, 0};
      FadeSamples samples = samples_;
      const std::size_t f = drop_template(trial.faded, samples, p, rules_.edge_low);
      give_headroom(trial.faded, f, limits_);
      trial.cost =
          fit_fades(trial.faded, samples, looks_of(painter_, trial.faded, samples), {f}, 1, steps_of_fit);
      if (ways.stencil && trial.cost > cost * (1 + rules_.price_of_template))
        continue;
      faded_ = std::move(trial.faded);
      samples_ = std::move(samples);
      trim_load(faded_, f);
      cost = trial.cost;
    }
  }

  void hold_high() {
    double cost = cost_now();
    const Grid& grid = samples_.grid();
    const LookTable looks = looks_of(painter_, faded_, samples_);
    for (std::size_t f = 0; f < faded_.fades.size(); ++f) {
      Trial trial{faded_, 0};
      const SoftField low = faded_.fades[f].amount;
      SoftField high(grid.pitch * grid.width, grid.pitch * grid.height, spacing_for_edge(rules_.edge_high));
      // Starts from the low field at the places of its spots.
      for (int row = 0; row < high.rows(); ++row) {
        for (int column = 0; column < high.columns(); ++column) {
          const double x = std::clamp((column - 1) * high.spacing().value(), 0.0,
                                      (grid.pitch * grid.width).value() - 1e-6);
          const double y =
              std::clamp((row - 1) * high.spacing().value(), 0.0, (grid.pitch * grid.height).value() - 1e-6);
          high.weights()[static_cast<std::size_t>(row * high.columns() + column)] =
              std::clamp(low.at(low.reach(x, y)), 0.0F, 1.0F);
        }
      }
      trial.faded.fades[f].amount = std::move(high);
      give_headroom(trial.faded, f, limits_);
      trial.cost = fit_fades(trial.faded, samples_, looks_of(painter_, trial.faded, samples_, &looks), {f}, 1,
                             steps_of_fit);
      if (trial.cost > cost * (1 + rules_.price_of_low_hold))
        continue;
      faded_ = std::move(trial.faded);
      trim_load(faded_, f);
      cost = trial.cost;
    }
  }

 private:
  [[nodiscard]] double cost_now() const {
    return fade_cost(samples_, faded_, looks_of(painter_, faded_, samples_));
  }
  // Whether a label in use that holds the layer has its fill of fades.
  [[nodiscard]] bool crowded(std::size_t p, std::size_t step) const {
    const std::vector<Tones>& labels = faded_.stencils.labels;
    const std::vector<std::uint8_t> used = samples_.labels_used(labels.size());
    for (std::size_t i = 0; i < labels.size(); ++i) {
      if (used[i] != 0 && labels[i][p] >= step &&
          fades_on(faded_, labels[i]).size() >= rules_.most_on_a_label)
        return true;
    }
    return false;
  }
  // The layer `step` of the powder p as a fade with a template, fitted a little. `looks`: as it is now.
  [[nodiscard]] Trial with_fade(std::size_t p, std::size_t step, const LookTable& looks) const {
    Trial trial{faded_, 0};
    const Grid& grid = samples_.grid();
    HandLaid fade;
    fade.nest = p;
    fade.step = step;
    fade.amount =
        SoftField(grid.pitch * grid.width, grid.pitch * grid.height, spacing_for_edge(rules_.edge_low), 1.0F);
    trial.faded.fades.push_back(std::move(fade));
    const std::size_t last = trial.faded.fades.size() - 1;
    give_headroom(trial.faded, last, limits_);
    trial.cost = fit_fades(trial.faded, samples_, looks_of(painter_, trial.faded, samples_, &looks), {last},
                           1, steps_of_trial);
    return trial;
  }

  FadedChoice& faded_;
  const Painter& painter_;
  FadeSamples& samples_;
  const FadeRules& rules_;
  const ChoiceLimits& limits_;
};

bool in_order(const FadedChoice& faded, const ChoiceLimits& limits) {
  Choice stack;
  for (const HandLaid& fade : faded.fades)
    stack.push_back(nest_of(fade.powder, {std::max(limits.least_load, fade.load)}));
  return allowed(stack, limits);
}

}  // namespace

void refit_fades(FadedChoice& faded, const Painter& painter, const FadeSamples& samples,
                 const ChoiceLimits& limits, int rounds) {
  if (faded.fades.empty())
    return;
  std::vector<std::size_t> all;
  for (std::size_t f = 0; f < faded.fades.size(); ++f) {
    all.push_back(f);
    give_headroom(faded, f, limits);
  }
  fit_fades(faded, samples, looks_of(painter, faded, samples), all, rounds, steps_of_fit);
  for (const std::size_t f : all)
    trim_load(faded, f);
}

void lay_fades(FadedChoice& faded, const Painter& painter, FadeSamples& samples, const FadeRules& rules,
               const ChoiceLimits& limits) {
  // The map is large, and each trial a copy: it waits outside, with labels numbered as they were.
  const std::vector<Tones> labels_before = faded.stencils.labels;
  Image<std::uint16_t> label_at = std::move(faded.stencils.label_at);
  // A map of one row that tells what became of each label.
  faded.stencils.label_at = Image<std::uint16_t>(static_cast<int>(labels_before.size()), 1);
  for (std::size_t i = 0; i < labels_before.size(); ++i)
    faded.stencils.label_at[i] = static_cast<std::uint16_t>(i);
  FadeSearch search(faded, painter, samples, rules, limits);
  search.make_fades();
  search.drop_templates();
  search.hold_high();
  for (std::size_t i = 0; i < label_at.size(); ++i)
    label_at[i] = faded.stencils.label_at[label_at[i]];
  faded.stencils.label_at = std::move(label_at);
  refit_fades(faded, painter, samples, limits, 1);
}

FadedChoice only_fades(const Painter& painter, const Target& target, const FadeRules& rules,
                       const ChoiceLimits& limits) {
  FadedChoice faded;
  faded.stencils.labels = {Tones{}};
  const FadeSamples samples(target, samples_of_trials);
  const SoftField start(target.grid.pitch * target.grid.width, target.grid.pitch * target.grid.height,
                        spacing_for_edge(rules.edge_low), start_amount);
  double cost = fade_cost(samples, faded, looks_of(painter, faded, samples));
  while (faded.fades.size() < limits.most_layers &&
         (!limits.most_powders || faded.fades.size() < *limits.most_powders)) {
    struct Place {
      std::size_t powder, at;
    };
    std::vector<Place> tried;
    for (const std::size_t powder : limits.usable) {
      if (!rules.ways_of(powder).fade || has_free_fade(faded, powder))
        continue;
      for (std::size_t at = 0; at <= faded.fades.size(); ++at)
        tried.push_back({powder, at});
    }
    std::vector<FadedChoice> trials(tried.size());
    std::vector<double> costs(tried.size());
    for_each_block(tried.size(), [&](std::size_t i) {
      trials[i] = faded;
      HandLaid fade;
      fade.free = true;
      fade.powder = tried[i].powder;
      fade.load = std::min(limits.most_load, heaviest_fade) * start_share;
      fade.amount = start;
      auto& fades = trials[i].fades;
      fades.insert(fades.begin() + static_cast<std::ptrdiff_t>(tried[i].at), std::move(fade));
      costs[i] = in_order(trials[i], limits)
                     ? fit_fades(trials[i], samples, looks_of(painter, trials[i], samples), {tried[i].at}, 1,
                                 steps_of_fit)
                     : 1e30;
    });
    const auto best = std::min_element(costs.begin(), costs.end());
    if (best == costs.end() || *best > cost * (1 - rules.least_gain))
      break;
    faded = std::move(trials[static_cast<std::size_t>(best - costs.begin())]);
    refit_fades(faded, painter, samples, limits, 1);
    cost = fade_cost(samples, faded, looks_of(painter, faded, samples));
  }
  faded.stencils.label_at = Image<std::uint16_t>(target.grid.width, target.grid.height);
  return faded;
}

}  // namespace powderplan
