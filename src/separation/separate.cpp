#include "separation/separate.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "separation/compact.h"
#include "separation/cost_table.h"
#include "separation/fade_search.h"
#include "separation/label_colours.h"
#include "separation/label_costs.h"
#include "separation/labelling.h"
#include "separation/map_tuning.h"

namespace powderplan {
namespace {

constexpr std::size_t colours_of_search = 320;
constexpr std::size_t colours_of_labelling = 6000;
// The labels are first found on a grid of half the pitch where the smallest width still has this many points.
constexpr int least_coarse_diameter = 4;
constexpr int coarse_rounds = 3;
constexpr int fine_rounds = 2;
// With fades, costs have a row for each colour and each state of the fades.
constexpr std::size_t colours_with_fades = 2500;
constexpr std::size_t samples_of_fit = 40'000, samples_of_trial = 4000;
constexpr int fade_rounds = 3;
// A sweep that changes less than this share of the points is the last.
constexpr double settled_share = 0.001;
// What is first put down serves a neighbourhood of this share of the smallest width.
constexpr double first_neighbourhood = 0.6;

Image<std::uint16_t> every_second(const Image<std::uint16_t>& from) {
  Image<std::uint16_t> to((from.width() + 1) / 2, (from.height() + 1) / 2);
  for (int y = 0; y < to.height(); ++y) {
    for (int x = 0; x < to.width(); ++x)
      to.at(x, y) = from.at(2 * x, 2 * y);
  }
  return to;
}

Image<std::uint16_t> doubled(const Image<std::uint16_t>& from, int width, int height) {
  Image<std::uint16_t> to(width, height);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x)
      to.at(x, y) = from.at(x / 2, y / 2);
  }
  return to;
}

CostTable costs_of(const Painter& painter, const Choice& choice, const std::vector<Tones>& labels,
                   const ColourIndex& index, const std::vector<PairPrice>& pairs) {
  LabelLooks looks{label_labs(painter, choice, labels), {}};
  for (const Tones& label : labels) {
    const Recipe recipe = recipe_of(choice, label);
    looks.loads.push_back(total_load(recipe));
    if (!pairs.empty())
      looks.contacts.push_back(price_of_contacts(recipe, pairs));
  }
  return {index, looks};
}

}  // namespace

std::vector<Lab> label_labs(const Painter& painter, const Choice& choice, const std::vector<Tones>& labels) {
  std::vector<Lab> labs;
  labs.reserve(labels.size());
  for (const Tones& label : labels)
    labs.push_back(painter.lab(recipe_of(choice, label)));
  return labs;
}

Image<LabPixel> as_seen(const Target& target, Millimetres smallest) {
  const cv::Mat wanted(target.grid.height, target.grid.width, CV_32FC3,
                       const_cast<LabPixel*>(target.wanted.data()));
  Image<LabPixel> seen(target.grid.width, target.grid.height);
  cv::Mat blurred(wanted.size(), CV_32FC3, seen.data());
  const double sigma = std::max(0.3, 0.25 * (smallest / target.grid.pitch));
  cv::GaussianBlur(wanted, blurred, {}, sigma, sigma, cv::BORDER_REPLICATE);
  return seen;
}

std::vector<WeightedColour> choice_colours(const Target& target, Millimetres smallest) {
  return search_colours(target, smallest, colours_of_search);
}

std::vector<WeightedColour> search_colours(const Target& target, Millimetres smallest, std::size_t count) {
  return cluster(index_colours(as_seen(target, smallest), target.bare, 4 * colours_of_labelling / 3).colours,
                 count);
}

Separation separate(const Painter& painter, const Target& target, const SeparationRules& rules,
                    const std::function<void(double)>& progress) {
  const auto report = [&](double share) {
    if (progress)
      progress(share);
  };
  const auto part = [&](double begin, double end) {
    return [report, begin, end](double share) { report(begin + share * (end - begin)); };
  };
  const auto any_may = [&](bool PowderWays::*way) {
    return std::any_of(rules.limits.usable.begin(), rules.limits.usable.end(),
                       [&](std::size_t powder) { return rules.fades.ways_of(powder).*way; });
  };
  const bool fades_allowed = any_may(&PowderWays::fade);
  if (fades_allowed && !any_may(&PowderWays::stencil))
    return compacted(target.grid, only_fades(painter, target, rules.fades, rules.limits));
  FadedChoice now;
  LabelledChoice& map = now.stencils;
  map.choice = rules.choice ? *rules.choice
                            : search_choice(painter, choice_colours(target, rules.smallest), rules.limits,
                                            SearchEffort::thorough, part(0, 0.4))
                                  .choice;
  map.labels = all_labels(map.choice, rules.limits.most_at_a_spot);
  ColourIndex index = index_colours(target.wanted, target.bare, colours_of_labelling);
  // One round on one grid: the labels, and the choice to go with them; before the first round of a grid the
  // map is made to obey its rule. False when little changed.
  const auto improved = [&](const Image<std::uint16_t>& colour_at, const WidthRule& used_rule, bool first) {
    const Labeller labeller(map.choice, map.labels);
    const CostTable costs = costs_of(painter, map.choice, map.labels, index, rules.limits.pairs);
    if (map.label_at.empty())
      map.label_at = labeller.first_guess(colour_at, costs, first_neighbourhood * used_rule.diameter());
    if (first)
      map.label_at = labeller.settled(map.label_at, TableCosts(colour_at, costs), used_rule);
    const double changed = labeller.improve(map.label_at, TableCosts(colour_at, costs), used_rule);
    return tune_to_map(map, painter, index, colour_at, rules.limits) || changed >= settled_share;
  };
  const WidthRule rule(rules.smallest, target.grid.pitch);
  const bool coarse = rule.diameter() >= 2 * least_coarse_diameter;
  const Millimetres coarse_pitch = coarse ? target.grid.pitch * 2 : target.grid.pitch;
  const auto coarse_colours = [&] { return coarse ? every_second(index.at) : index.at; };
  const WidthRule coarse_rule = coarse ? WidthRule(rules.smallest, coarse_pitch) : rule;
  {
    const Image<std::uint16_t> colour_at = coarse_colours();
    for (int round = 0; round < (rules.quick ? 1 : coarse_rounds); ++round) {
      report(0.4 + 0.4 * round / coarse_rounds);
      if (!improved(colour_at, coarse_rule, round == 0))
        break;
    }
  }
  if (fades_allowed) {
    FadeSamples samples(target, rules.quick ? samples_of_trial : samples_of_fit);
    index = index_colours(target.wanted, target.bare, colours_with_fades);
    const Image<std::uint16_t> colour_at = coarse_colours();
    for (int round = 0; round < (rules.quick ? 1 : fade_rounds); ++round) {
      report(0.55 + 0.25 * round / fade_rounds);
      samples.set_labels(map.label_at);
      if (round == 0)
        lay_fades(now, painter, samples, rules.fades, rules.limits);
      else
        refit_fades(now, painter, samples, rules.limits, 2);
      if (now.fades.empty())
        break;
      const FadedCosts costs(painter, now, index, colour_at, coarse_pitch, rules.limits.pairs);
      Labeller(map.choice, map.labels).improve(map.label_at, costs, coarse_rule);
    }
  }
  if (coarse)
    map.label_at = doubled(map.label_at, target.grid.width, target.grid.height);
  for (int round = 0; round < (rules.quick ? 1 : fine_rounds) && now.fades.empty(); ++round) {
    report(0.8 + 0.2 * round / fine_rounds);
    improved(index.at, rule, round == 0);
  }
  if (!now.fades.empty()) {
    report(0.8);
    const Labeller labeller(map.choice, map.labels);
    const FadedCosts costs(painter, now, index, index.at, target.grid.pitch, rules.limits.pairs);
    map.label_at = labeller.settled(map.label_at, costs, rule);
    labeller.improve(map.label_at, costs, rule);
    FadeSamples samples(target, rules.quick ? samples_of_trial : samples_of_fit);
    samples.set_labels(map.label_at);
    refit_fades(now, painter, samples, rules.limits, rules.quick ? 1 : 2);
  }
  return compacted(target.grid, std::move(now));
}

}  // namespace powderplan
