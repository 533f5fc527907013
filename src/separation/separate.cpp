#include "separation/separate.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "separation/cost_table.h"
#include "separation/label_colours.h"
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
// A sweep that changes less than this share of the points is the last.
constexpr double settled_share = 0.001;
// What is first put down serves a neighbourhood of this share of the smallest width.
constexpr double first_neighbourhood = 0.6;
constexpr double load_step = 0.001;  // g/cm2

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
                   const ColourIndex& index) {
  std::vector<Load> loads;
  for (const Tones& label : labels)
    loads.push_back(total_load(recipe_of(choice, label)));
  return {index, label_labs(painter, choice, labels), loads};
}

void round_loads(Choice& choice) {
  for (ChosenPowder& powder : choice) {
    for (Load& load : powder.loads)
      load = Load(std::max(1.0, std::round(load.value() / load_step)) * load_step);
  }
}

// Keeps the powders, loads and labels that occur.
Separation compacted(const Grid& grid, const Choice& choice, const std::vector<Tones>& labels,
                     const Image<std::uint16_t>& label_at) {
  std::vector<std::uint16_t> most(choice.size(), 0);
  std::vector<bool> used(labels.size(), false);
  used[0] = true;
  for (std::size_t i = 0; i < label_at.size(); ++i)
    used[label_at[i]] = true;
  for (std::size_t i = 0; i < labels.size(); ++i) {
    for (std::size_t p = 0; p < choice.size() && used[i]; ++p)
      most[p] = std::max<std::uint16_t>(most[p], labels[i][p]);
  }
  Separation out;
  out.grid = grid;
  std::vector<std::uint16_t> renumbered(labels.size(), 0);
  for (std::size_t p = 0; p < choice.size(); ++p) {
    if (most[p] == 0)
      continue;
    out.choice.push_back(choice[p]);
    out.choice.back().loads.resize(most[p]);
  }
  for (std::size_t i = 0; i < labels.size(); ++i) {
    if (!used[i])
      continue;
    renumbered[i] = static_cast<std::uint16_t>(out.labels.size());
    Tones kept;
    for (std::size_t p = 0; p < choice.size(); ++p) {
      if (most[p] != 0)
        kept.push_back(labels[i][p]);
    }
    out.labels.push_back(std::move(kept));
  }
  out.label_at = Image<std::uint16_t>(label_at.width(), label_at.height());
  for (std::size_t i = 0; i < label_at.size(); ++i)
    out.label_at[i] = renumbered[label_at[i]];
  return out;
}

}  // namespace

std::vector<Lab> label_labs(const Painter& painter, const Choice& choice, const std::vector<Tones>& labels) {
  std::vector<Lab> labs;
  labs.reserve(labels.size());
  for (const Tones& label : labels)
    labs.push_back(painter.lab(recipe_of(choice, label)));
  return labs;
}

std::vector<WeightedColour> search_colours(const Target& target, Millimetres smallest, std::size_t count) {
  const cv::Mat wanted(target.grid.height, target.grid.width, CV_32FC3,
                       const_cast<LabPixel*>(target.wanted.data()));
  Image<LabPixel> seen(target.grid.width, target.grid.height);
  cv::Mat blurred(wanted.size(), CV_32FC3, seen.data());
  const double sigma = std::max(0.3, 0.25 * (smallest / target.grid.pitch));
  cv::GaussianBlur(wanted, blurred, {}, sigma, sigma, cv::BORDER_REPLICATE);
  return cluster(index_colours(seen, target.bare, 4 * colours_of_labelling / 3).colours, count);
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
  LabelledChoice now;
  now.choice = search_choice(painter, search_colours(target, rules.smallest, colours_of_search), rules.limits,
                             SearchEffort::thorough, part(0, 0.4))
                   .choice;
  now.labels = all_labels(now.choice, rules.limits.most_at_a_spot);
  const ColourIndex index = index_colours(target.wanted, target.bare, colours_of_labelling);
  // One round on one grid: the labels, and the choice to go with them; before the first round of a grid the
  // map is made to obey its rule. False when little changed.
  const auto improved = [&](const Image<std::uint16_t>& colour_at, const WidthRule& used_rule, bool first) {
    const Labeller labeller(now.choice, now.labels);
    const CostTable costs = costs_of(painter, now.choice, now.labels, index);
    if (now.label_at.empty())
      now.label_at = labeller.first_guess(colour_at, costs, first_neighbourhood * used_rule.diameter());
    if (first)
      now.label_at = labeller.settled(now.label_at, colour_at, costs, used_rule);
    const double changed = labeller.improve(now.label_at, colour_at, costs, used_rule);
    return tune_to_map(now, painter, index, colour_at, rules.limits) || changed >= settled_share;
  };
  const WidthRule rule(rules.smallest, target.grid.pitch);
  {
    const bool coarse = rule.diameter() >= 2 * least_coarse_diameter;
    const Image<std::uint16_t> colour_at = coarse ? every_second(index.at) : index.at;
    const WidthRule coarse_rule = coarse ? WidthRule(rules.smallest, target.grid.pitch * 2) : rule;
    for (int round = 0; round < coarse_rounds; ++round) {
      report(0.4 + 0.4 * round / coarse_rounds);
      if (!improved(colour_at, coarse_rule, round == 0))
        break;
    }
    if (coarse)
      now.label_at = doubled(now.label_at, target.grid.width, target.grid.height);
  }
  for (int round = 0; round < fine_rounds; ++round) {
    report(0.8 + 0.2 * round / fine_rounds);
    improved(index.at, rule, round == 0);
  }
  round_loads(now.choice);
  return compacted(target.grid, now.choice, now.labels, now.label_at);
}

}  // namespace powderplan
