#include "separation/fade_search.h"

#include <algorithm>
#include <optional>

namespace powderplan {
namespace {

// A fade may become heavier than the coat it was by this factor in one fit.
constexpr double headroom = 1.6;
constexpr int steps_of_trial = 2;
constexpr int steps_of_fit = 3;

// What of the powder's whole load the layer may still take.
Load most_load_of(const FadedChoice& faded, std::size_t fade, const ChoiceLimits& limits) {
  const HandLaid& laid = faded.fades[fade];
  Load others;
  if (!laid.free) {
    const std::vector<Load>& loads = faded.stencils.choice[laid.chosen].loads;
    for (std::size_t step = 1; step <= loads.size(); ++step)
      others += step == laid.step ? Load(0) : loads[step - 1];
  }
  return limits.most_load - others;
}

// The same field with room above its heaviest spot.
void give_headroom(FadedChoice& faded, std::size_t fade, const ChoiceLimits& limits) {
  const Load now = load_of(faded, fade);
  const Load then = std::max(now, std::min(now * headroom, most_load_of(faded, fade, limits)));
  const auto share = static_cast<float>(now / then);
  for (float& weight : faded.fades[fade].amount.weights())
    weight *= share;
  set_load(faded, fade, then);
}

LookTable looks_of(const Painter& painter, const FadedChoice& faded, const FadeSamples& samples) {
  return {painter, faded, samples.labels_used(faded.stencils.labels.size())};
}

struct Trial {
  FadedChoice faded;
  double cost = 0;
};

// The layer `step` of the powder `chosen` as a fade with a template, fitted a little.
Trial with_fade(FadedChoice faded, std::size_t chosen, std::size_t step, Millimetres spacing,
                const Millimetres size[2], const Painter& painter, const FadeSamples& samples,
                const ChoiceLimits& limits) {
  HandLaid fade;
  fade.chosen = chosen;
  fade.step = step;
  fade.amount = SoftField(size[0], size[1], spacing, 1.0F);
  faded.fades.push_back(std::move(fade));
  const std::size_t last = faded.fades.size() - 1;
  give_headroom(faded, last, limits);
  const double cost = fit_fades(faded, samples, looks_of(painter, faded, samples), {last}, 1, steps_of_trial);
  return {std::move(faded), cost};
}

bool is_fade(const FadedChoice& faded, std::size_t chosen, std::size_t step) {
  return std::any_of(faded.fades.begin(), faded.fades.end(), [&](const HandLaid& fade) {
    return !fade.free && fade.chosen == chosen && fade.step == step;
  });
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
  // The map is not needed here and is large to copy.
  Image<std::uint16_t> label_at = std::move(faded.stencils.label_at);
  const Grid& grid = samples.grid();
  const Millimetres size[2] = {grid.pitch * grid.width, grid.pitch * grid.height};
  const Millimetres spacing = spacing_for_edge(rules.narrowest_edge);
  double cost = fade_cost(samples, faded, looks_of(painter, faded, samples));
  while (faded.fades.size() < rules.most_fades) {
    std::optional<Trial> best;
    for (std::size_t p = 0; p < faded.stencils.choice.size(); ++p) {
      for (std::size_t step = 1; step <= faded.stencils.choice[p].loads.size(); ++step) {
        if (is_fade(faded, p, step))
          continue;
        Trial trial = with_fade(faded, p, step, spacing, size, painter, samples, limits);
        if (!best || trial.cost < best->cost)
          best = std::move(trial);
      }
    }
    if (!best || best->cost > cost * (1 - rules.least_gain))
      break;
    faded = std::move(best->faded);
    trim_load(faded, faded.fades.size() - 1);
    fprintf(stderr, "  fade of p%zu step %zu: %.3f -> %.3f\n",
            best->faded.fades.empty() ? faded.fades.back().chosen : 0, faded.fades.back().step, cost,
            best->cost);
    cost = best->cost;
  }
  refit_fades(faded, painter, samples, limits, 2);
  fprintf(stderr, "  all refitted: %.3f\n", fade_cost(samples, faded, looks_of(painter, faded, samples)));
  faded.stencils.label_at = std::move(label_at);
}

}  // namespace powderplan
