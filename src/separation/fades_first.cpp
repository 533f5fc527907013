#include "separation/fades_first.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include "parallel.h"

namespace powderplan {
namespace {

constexpr std::size_t samples_of_choice = 2500;
constexpr std::size_t samples_of_stencil = 700;
constexpr std::array<double, 3> stencil_shares{0.04, 0.15, 0.5};
constexpr std::array<double, 5> closer_factors{0.4, 0.65, 1.0, 1.5, 2.2};
constexpr std::size_t worth_a_closer_look = 5;
// A new fade starts as an even coat of this share of the largest load, a third of it laid.
constexpr double start_share = 0.5;
constexpr float start_amount = 0.3F;

struct Trial {
  FadedChoice faded;
  double cost = 0;
};

LookTable looks_of(const Painter& painter, const FadedChoice& faded) {
  // One label: bare sheet under all fades.
  return {painter, faded, {1}};
}

Trial with_free_fade(const FadedChoice& from, std::size_t powder, bool on_top, const SoftField& start,
                     const Painter& painter, const FadeSamples& samples, const ChoiceLimits& limits) {
  Trial trial{from, 0};
  HandLaid fade;
  fade.free = true;
  fade.powder = powder;
  fade.load = limits.most_load * start_share;
  fade.amount = start;
  auto& fades = trial.faded.fades;
  const std::size_t at = on_top ? fades.size() : 0;
  fades.insert(fades.begin() + static_cast<std::ptrdiff_t>(at), std::move(fade));
  trial.cost = fit_fades(trial.faded, samples, looks_of(painter, trial.faded), {at}, 1, 3);
  return trial;
}

bool order_allowed(const FadedChoice& faded, const ChoiceLimits& limits) {
  Choice stack;
  for (const HandLaid& fade : faded.fades)
    stack.push_back({fade.powder, {std::max(limits.least_load, fade.load)}});
  return allowed(stack, limits);
}

// Exact looks of a part of the points, for trials of one layer more.
struct Point {
  Tones tones;
  std::vector<float> amounts;
  LocalMetric wanted;
  double now = 0;
};

double distance_at(const Point& point, const Painter& painter, const FadedChoice& faded, const Tones& tones) {
  return std::sqrt(point.wanted.square_distance(painter.lab(recipe_of(faded, tones, point.amounts))));
}

// The choice with one stencil more below its powder number `place`; fades keep their places in the stack.
FadedChoice with_stencil(const FadedChoice& from, std::size_t place, std::size_t powder, Load load) {
  FadedChoice to;
  to.fades = from.fades;
  to.stencils.choice = from.stencils.choice;
  to.stencils.choice.insert(to.stencils.choice.begin() + static_cast<std::ptrdiff_t>(place),
                            ChosenPowder{powder, {load}});
  for (HandLaid& fade : to.fades) {
    // A new powder goes above the free fades of its place.
    if (fade.free ? fade.chosen > place : fade.chosen >= place)
      ++fade.chosen;
  }
  return to;
}

Tones with_new(Tones tones, std::size_t place, std::uint8_t tone) {
  tones.insert(tones.begin() + static_cast<std::ptrdiff_t>(place), tone);
  return tones;
}

}  // namespace

FadedChoice free_fades(const Painter& painter, const Target& target, const FadeRules& rules,
                       const ChoiceLimits& limits, std::size_t most) {
  FadedChoice faded;
  faded.stencils.labels = {Tones{}};
  const FadeSamples samples(target, samples_of_choice);
  const SoftField start(target.grid.pitch * target.grid.width, target.grid.pitch * target.grid.height,
                        spacing_for_edge(rules.narrowest_edge), start_amount);
  double cost = fade_cost(samples, faded, looks_of(painter, faded));
  while (faded.fades.size() < most) {
    std::vector<std::pair<std::size_t, bool>> tried;
    for (const std::size_t powder : limits.usable) {
      if (std::any_of(faded.fades.begin(), faded.fades.end(),
                      [&](const HandLaid& fade) { return fade.powder == powder; }))
        continue;
      tried.emplace_back(powder, true);
      if (!faded.fades.empty())
        tried.emplace_back(powder, false);
    }
    std::vector<Trial> trials(tried.size());
    for_each_block(tried.size(), [&](std::size_t i) {
      trials[i] = with_free_fade(faded, tried[i].first, tried[i].second, start, painter, samples, limits);
      if (!order_allowed(trials[i].faded, limits))
        trials[i].cost = 1e30;
    });
    const auto best = std::min_element(trials.begin(), trials.end(),
                                       [](const Trial& a, const Trial& b) { return a.cost < b.cost; });
    if (best == trials.end() || best->cost > cost * (1 - rules.least_gain))
      break;
    faded = std::move(best->faded);
    refit_fades(faded, painter, samples, limits, 1);
    cost = fade_cost(samples, faded, looks_of(painter, faded));
  }
  return faded;
}

bool add_stencil(FadedChoice& faded, const Painter& painter, const Target& target,
                 const Image<LabPixel>& seen, const ChoiceLimits& limits) {
  const Image<std::uint16_t> label_at = std::move(faded.stencils.label_at);
  FadeSamples samples(target, samples_of_stencil);
  samples.set_labels(label_at);
  std::vector<Point> points;
  for (const FadeSamples::Sample& sample : samples.all()) {
    if (sample.bare)
      continue;
    Point point{faded.stencils.labels[sample.label], {}, LocalMetric(to_lab(seen[sample.point])), 0};
    for (const HandLaid& fade : faded.fades)
      point.amounts.push_back(fade.amount.at(fade.amount.reach(sample.x_mm, sample.y_mm)));
    points.push_back(std::move(point));
  }
  for_each_block(points.size(), [&](std::size_t i) {
    points[i].now = distance_at(points[i], painter, faded, points[i].tones);
  });
  struct Place {
    std::size_t powder = 0, place = 0;
    Load load;
    double gain = 0;
  };
  const auto judge = [&](std::vector<Place>& tried) {
    for_each_block(tried.size(), [&](std::size_t i) {
      Place& t = tried[i];
      const FadedChoice with = with_stencil(faded, t.place, t.powder, t.load);
      for (const Point& point : points)
        t.gain +=
            std::max(0.0, point.now - distance_at(point, painter, with, with_new(point.tones, t.place, 1)));
    });
    std::stable_sort(tried.begin(), tried.end(),
                     [](const Place& a, const Place& b) { return a.gain > b.gain; });
  };
  const std::size_t top = faded.stencils.choice.size();
  std::vector<Place> coarse;
  for (const std::size_t powder : limits.usable) {
    for (const double share : stencil_shares)
      coarse.push_back({powder, top, std::max(limits.least_load, limits.most_load * share), 0});
  }
  judge(coarse);
  std::vector<Place> close;
  for (std::size_t i = 0; i < std::min(worth_a_closer_look, coarse.size()); ++i) {
    for (std::size_t place = 0; place <= top; ++place) {
      for (const double factor : closer_factors)
        close.push_back({coarse[i].powder, place,
                         std::clamp(coarse[i].load * factor, limits.least_load, limits.most_load), 0});
    }
  }
  judge(close);
  const bool helps = !close.empty() && close.front().gain > 0;
  if (helps) {
    const Place& best = close.front();
    FadedChoice with = with_stencil(faded, best.place, best.powder, best.load);
    with.stencils.labels = all_labels(with.stencils.choice, limits.most_at_a_spot);
    // Keys of plain numbers: vectors of bytes are compared by a call that some compilers warn of.
    std::map<std::vector<int>, std::uint16_t> number;
    const auto key = [](const Tones& tones) { return std::vector<int>(tones.begin(), tones.end()); };
    for (std::size_t i = 0; i < with.stencils.labels.size(); ++i)
      number.emplace(key(with.stencils.labels[i]), static_cast<std::uint16_t>(i));
    with.stencils.label_at = Image<std::uint16_t>(label_at.width(), label_at.height());
    for (std::size_t i = 0; i < label_at.size(); ++i)
      with.stencils.label_at[i] = number.at(key(with_new(faded.stencils.labels[label_at[i]], best.place, 0)));
    faded = std::move(with);
  } else {
    faded.stencils.label_at = label_at;
  }
  return helps;
}

}  // namespace powderplan
