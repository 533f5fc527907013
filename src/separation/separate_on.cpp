#include "separation/separate_on.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <set>

#include "colour/difference.h"
#include "parallel.h"
#include "separation/compact.h"
#include "separation/cost_table.h"
#include "separation/fade_fit.h"
#include "separation/fade_search.h"
#include "separation/labelling.h"
#include "separation/opened_separation.h"
#include "separation/shown_costs.h"

namespace powderplan {
namespace {

constexpr std::size_t samples_of_fit = 20'000;
constexpr int rounds = 3;
constexpr int fade_steps = 3;
constexpr std::array<double, 3> load_steps{1.35, 1.12, 1.04};
// Loads at which another powder is tried, as multiples of the one it would replace.
constexpr std::array<double, 4> replacement_factors{0.35, 0.7, 1.2, 2.0};
// A change of what lies, to see how much of it shows; and what nobody sees, in Lab.
constexpr double stronger_by = 1.2, seen_at_all = 0.3;
// A change must gain this share; another powder more, because it was not on the bench yet.
constexpr double least_gain = 0.0005, least_gain_of_exchange = 0.01;
constexpr std::size_t samples_of_exchange = 3000;
// A sweep that changes less than this share of the points is the last.
constexpr double settled_share = 0.001;

OpenedSeparation opened_on(const Separation& planned, const std::vector<LaidLayer>& laid,
                           std::size_t most_at_a_spot) {
  OpenedSeparation out = opened(planned, most_at_a_spot);
  close_what_is_missing(out, laid);
  return out;
}

class Rest {
 public:
  Rest(const Separation& planned, const std::vector<LaidLayer>& laid, const Painter& painter,
       const Target& target, const SeparationRules& rules, const Image<LabPixel>& left)
      : painter_(painter),
        left_(left),
        target_(target),
        rules_(rules),
        nests_planned_(planned.choice.size()),
        opened_(opened_on(planned, laid, rules.limits.most_at_a_spot)),
        now_(std::move(opened_.faded)),
        samples_(target, samples_of_fit),
        few_samples_(target, samples_of_exchange) {
    for (std::size_t n = 0; n < now_.stencils.choice.size(); ++n) {
      Nest& nest = now_.stencils.choice[n];
      for (std::size_t step = 1; step <= nest.steps.size(); ++step) {
        const LaidLayer* const layer = find(laid, opened_.nest_was[n], step);
        held_.push_back(layer != nullptr);
        if (layer != nullptr)
          nest.steps[step - 1].load = nest.steps[step - 1].load * layer->strength;
        else
          free_steps_.push_back({n, step});
      }
    }
    for (std::size_t f = 0; f < now_.fades.size(); ++f) {
      const LaidLayer* const layer = find(laid, opened_.fade_was[f], now_.fades[f].step);
      if (layer == nullptr)
        free_fades_.push_back(f);
      else if (now_.fades[f].free)
        now_.fades[f].load = now_.fades[f].load * layer->strength;
    }
  }

  RestOfSeparation run() {
    const WidthRule rule(rules_.smallest, target_.grid.pitch);
    const Labeller labeller(now_.stencils.choice, now_.stencils.labels, held_);
    find_shown();
    const FadedChoice as_planned = now_;
    take_labels();
    tune();
    for (int round = 0; round < rounds; ++round) {
      find_shown();
      const ShownCosts costs(painter_, now_, target_, left_, shown_, rules_.limits.pairs);
      const double changed = labeller.improve(now_.stencils.label_at, costs, rule);
      take_labels();
      bool tuned = tune();
      if (round == 0 && exchange()) {
        tune();
        tuned = true;
      }
      if (!tuned && changed < settled_share)
        break;
    }
    // The costs above are near CIEDE2000 only where little is wrong, and count load and outlines too.
    if (mean_difference(now_) > mean_difference(as_planned))
      now_ = as_planned;
    RestOfSeparation rest{{}, where_nests_go()};
    rest.separation = compacted(target_.grid, std::move(now_));
    return rest;
  }

 private:
  struct Step {
    std::size_t nest, step;
  };

  void take_labels() {
    if (!left_.empty()) {
      Target shifted{target_.grid, target_.wanted, {}, target_.bare};
      for (std::size_t i = 0; i < shifted.wanted.size(); ++i)
        shifted.wanted[i] = wanted_at(i, now_.stencils.label_at[i]);
      samples_ = FadeSamples(shifted, samples_of_fit);
      few_samples_ = FadeSamples(shifted, samples_of_exchange);
    }
    samples_.set_labels(now_.stencils.label_at);
    few_samples_.set_labels(now_.stencils.label_at);
  }

  // How much of a change of what lies shows through what is to come on each label.
  void find_shown() {
    shown_.assign(now_.stencils.labels.size(), 0);
    if (left_.empty())
      return;
    FadedChoice stronger = now_;
    stronger.stencils.label_at = {};
    std::vector<float> all(now_.fades.size(), 0.5F), lying = all;
    std::size_t layer = 0;
    for (Nest& nest : stronger.stencils.choice)
      for (Dose& step : nest.steps)
        step.load = held_[layer++] ? step.load * stronger_by : step.load;
    for (const std::size_t fade : free_fades_)
      lying[fade] = 0;
    for (std::size_t f = 0; f < stronger.fades.size(); ++f)
      if (stronger.fades[f].free && lying[f] > 0)
        stronger.fades[f].load = stronger.fades[f].load * stronger_by;
    for_each_block(shown_.size(), [&](std::size_t i) {
      const Tones& tones = now_.stencils.labels[i];
      const Tones below = held_part(tones);
      const auto change = [&](const Tones& of, const std::vector<float>& amounts) {
        const Lab was = painter_.lab(recipe_of(now_, of, amounts));
        const Lab is = painter_.lab(recipe_of(stronger, of, amounts));
        return std::sqrt((is.l - was.l) * (is.l - was.l) + (is.a - was.a) * (is.a - was.a) +
                         (is.b - was.b) * (is.b - was.b));
      };
      const double bare = change(below, lying);
      // Where nothing lies, what is off is the sheet or the light: it shows where nothing comes above it
      // either.
      shown_[i] = bare < seen_at_all ? (below == tones ? 1.0F : 0.0F)
                                     : static_cast<float>(std::clamp(change(tones, all) / bare, 0.0, 1.0));
    });
  }

  // The label without what is still to come. A nest's tones are a prefix of its steps.
  [[nodiscard]] Tones held_part(const Tones& tones) const {
    Tones part = tones;
    std::size_t layer = 0;
    for (std::size_t n = 0; n < part.size(); ++n) {
      const std::size_t steps = now_.stencils.choice[n].steps.size();
      std::uint8_t held = 0;
      while (held < part[n] && held_[layer + held])
        ++held;
      part[n] = held;
      layer += steps;
    }
    return part;
  }

  // What is to be aimed at on this label.
  [[nodiscard]] LabPixel wanted_at(std::size_t point, std::uint16_t label) const {
    const LabPixel wanted = target_.wanted[point];
    return left_.empty() ? wanted : wanted_below(wanted, left_[point], shown_[label]);
  }

  // CIEDE2000 over the samples, with what is paid for powder on bare sheet.
  [[nodiscard]] double mean_difference(const FadedChoice& faded) {
    samples_.set_labels(faded.stencils.label_at);
    const LookTable looks(painter_, faded, samples_.labels_used(faded.stencils.labels.size()));
    const auto& all = samples_.all();
    std::vector<double> off(all.size());
    constexpr std::size_t block = 512;
    for_each_block((all.size() + block - 1) / block, [&](std::size_t b) {
      std::vector<float> amounts(faded.fades.size());
      for (std::size_t i = b * block; i < std::min(all.size(), (b + 1) * block); ++i) {
        const FadeSamples::Sample& sample = all[i];
        for (std::size_t f = 0; f < amounts.size(); ++f) {
          const SoftField& field = faded.fades[f].amount;
          amounts[f] = field.at(field.reach(sample.x_mm, sample.y_mm));
        }
        if (sample.bare)
          off[i] = recipe_of(faded, faded.stencils.labels[sample.label], amounts).empty()
                       ? 0
                       : static_cast<double>(cost_on_bare);
        else
          off[i] = ciede2000(to_lab(looks.colour(sample.label, amounts.data())),
                             to_lab(wanted_at(sample.point, sample.label)));
      }
    });
    return std::accumulate(off.begin(), off.end(), 0.0);
  }

  // How many powders there are when this one takes the place of another.
  [[nodiscard]] std::size_t powders_with(std::size_t powder, const Step& at) const {
    Choice choice = now_.stencils.choice;
    choice[at.nest].steps[at.step - 1].powder = powder;
    std::set<std::size_t> all;
    for (const std::size_t one : powders_of(choice))
      all.insert(one);
    for (const HandLaid& fade : now_.fades)
      if (fade.free)
        all.insert(fade.powder);
    return all.size();
  }

  // Whether the powder could take the place of another one in this layer.
  [[nodiscard]] bool may_replace(std::size_t powder, const Step& at) const {
    const auto listed = [](const std::vector<std::size_t>& list, std::size_t entry) {
      return std::find(list.begin(), list.end(), entry) != list.end();
    };
    const ChoiceLimits& limits = rules_.limits;
    const std::size_t old = now_.stencils.choice[at.nest].steps[at.step - 1].powder;
    const bool in_pair = std::any_of(limits.pairs.begin(), limits.pairs.end(), [&](const PairPrice& pair) {
      return pair.one == powder || pair.other == powder;
    });
    const bool fade = std::any_of(now_.fades.begin(), now_.fades.end(), [&](const HandLaid& f) {
      return !f.free && f.nest == at.nest && f.step == at.step;
    });
    const PowderWays ways = rules_.fades.ways_of(powder);
    if (limits.most_powders && powders_with(powder, at) > *limits.most_powders)
      return false;
    return powder != old && limits.heat.empty() && !in_pair && !listed(limits.use, old) &&
           !listed(limits.order, powder) && !listed(limits.order, old) && !listed(limits.apart, powder) &&
           !listed(limits.apart, old) && ways.stencil && (!fade || ways.fade);
  }

  // Other powders for layers that are still to come, one layer at a time, the best of all first. What went
  // wrong may need a colour that the plan did not.
  bool exchange() {
    const auto cost_of = [&](const FadedChoice& choice) {
      return fade_cost(few_samples_, choice,
                       {painter_, choice, few_samples_.labels_used(choice.stencils.labels.size())});
    };
    bool changed = false;
    for (std::size_t turn = 0; turn < free_steps_.size(); ++turn) {
      struct Trial {
        Step at;
        Dose dose;
      };
      std::vector<Trial> trials;
      for (const Step& at : free_steps_) {
        const Nest& nest = now_.stencils.choice[at.nest];
        const Load now = nest.steps[at.step - 1].load;
        for (const std::size_t powder : rules_.limits.usable) {
          if (!may_replace(powder, at))
            continue;
          for (const double factor : replacement_factors) {
            const Load load = now * factor;
            const bool heavy = total_load(nest) - now + load > rules_.limits.most_load && factor > 1;
            if (load >= rules_.limits.least_load && !heavy)
              trials.push_back({at, {powder, load}});
          }
        }
      }
      std::vector<double> costs(trials.size());
      FadedChoice bare = now_;
      bare.stencils.label_at = {};  // large, and not looked at
      for_each_block(trials.size(), [&](std::size_t i) {
        FadedChoice tried = bare;
        tried.stencils.choice[trials[i].at.nest].steps[trials[i].at.step - 1] = trials[i].dose;
        costs[i] = cost_of(tried);
      });
      const auto best = std::min_element(costs.begin(), costs.end());
      if (best == costs.end() || *best > cost_of(bare) * (1 - least_gain_of_exchange))
        break;
      const Trial& taken = trials[static_cast<std::size_t>(best - costs.begin())];
      now_.stencils.choice[taken.at.nest].steps[taken.at.step - 1] = taken.dose;
      changed = true;
    }
    return changed;
  }

  // compacted() keeps the order of the nests and drops those that no label in use has.
  [[nodiscard]] std::vector<std::optional<std::size_t>> where_nests_go() const {
    const LabelledChoice& map = now_.stencils;
    std::vector<bool> used(map.labels.size(), false);
    for (std::size_t i = 0; i < map.label_at.size(); ++i)
      used[map.label_at[i]] = true;
    std::vector<bool> kept(nests_planned_, true);  // fades without a template are on every label
    for (std::size_t n = 0; n < opened_.nest_was.size(); ++n) {
      bool lies = false;
      for (std::size_t i = 0; i < map.labels.size(); ++i)
        lies = lies || (used[i] && map.labels[i][n] > 0);
      kept[opened_.nest_was[n]] = lies;
    }
    std::vector<std::optional<std::size_t>> places(nests_planned_);
    std::size_t next = 0;
    for (std::size_t n = 0; n < nests_planned_; ++n) {
      if (kept[n])
        places[n] = next++;
    }
    return places;
  }

  [[nodiscard]] LookTable looks() const {
    return {painter_, now_, samples_.labels_used(now_.stencils.labels.size())};
  }
  [[nodiscard]] double cost() const { return fade_cost(samples_, now_, looks()); }

  // Loads and fields of what is still to come. True when anything changed.
  bool tune() {
    const double before = cost();
    double least = before;
    for (const double factor : load_steps) {
      for (const Step& at : free_steps_) {
        for (const double tried : {factor, 1 / factor}) {
          Load& load = now_.stencils.choice[at.nest].steps[at.step - 1].load;
          const Load was = load;
          load = load * tried;
          // Loads of what lies may be beyond the limits: that is how it is.
          const bool heavy = total_load(now_.stencils.choice[at.nest]) > rules_.limits.most_load && tried > 1;
          const double now = heavy || load < rules_.limits.least_load ? least : cost();
          if (now < least * (1 - least_gain)) {
            least = now;
            break;
          }
          load = was;
        }
      }
    }
    if (!free_fades_.empty())
      least = fit_fades(now_, samples_, looks(), free_fades_, 2, fade_steps);
    for (const std::size_t fade : free_fades_)
      trim_load(now_, fade);
    return least < before * (1 - least_gain);
  }

  const Painter& painter_;
  const Image<LabPixel>& left_;
  const Target& target_;
  const SeparationRules& rules_;
  std::vector<float> shown_;  // by label
  std::size_t nests_planned_;
  OpenedSeparation opened_;  // its choice is in now_
  FadedChoice now_;
  FadeSamples samples_, few_samples_;
  std::vector<bool> held_;  // by layer of the choice
  std::vector<Step> free_steps_;
  std::vector<std::size_t> free_fades_;
};

}  // namespace

RestOfSeparation separate_on(const Separation& planned, const std::vector<LaidLayer>& laid,
                             const Painter& painter, const Target& target, const SeparationRules& rules,
                             const Image<LabPixel>& left) {
  return Rest(planned, laid, painter, target, rules, left).run();
}

}  // namespace powderplan
