#include "separation/separate.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "parallel.h"
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
// A map gets its shape on a grid of which the smallest width has at least so many points. On finer grids only
// its outlines move, by less than a point of the grid before.
constexpr int working_diameter = 4;
constexpr int coarse_rounds = 3, fade_rounds = 3;
// Fades are chosen on few points of the picture, fitted on more while labels change, and at last on so many
// for each of their spots, but no fewer than a small piece needs.
constexpr std::size_t samples_of_trial = 4000, samples_of_rounds = 20'000, least_samples_of_fit = 40'000;
constexpr double samples_of_spot = 12;
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

// The same map on grids of the target's pitch, twice that, and so on.
class Levels {
 public:
  Levels(ColourIndex& index, Millimetres pitch, Millimetres smallest) : index_(index), pitch_(pitch) {
    const WidthRule fine(smallest, pitch);
    for (int diameter = fine.diameter(); diameter >= 2 * working_diameter; diameter /= 2)
      coarser_.push_back(every_second(colour_at(static_cast<int>(coarser_.size()))));
    for (int level = 0; level <= coarsest(); ++level)
      rules_.emplace_back(smallest, pitch_of(level));
  }
  [[nodiscard]] int coarsest() const { return static_cast<int>(coarser_.size()); }
  [[nodiscard]] const Image<std::uint16_t>& colour_at(int level) const {
    return level == 0 ? index_.at : coarser_[static_cast<std::size_t>(level - 1)];
  }
  [[nodiscard]] Millimetres pitch_of(int level) const { return pitch_ * (1 << level); }
  [[nodiscard]] const WidthRule& rule(int level) const { return rules_[static_cast<std::size_t>(level)]; }

 private:
  const ColourIndex& index_;
  Millimetres pitch_;
  std::vector<Image<std::uint16_t>> coarser_;
  std::vector<WidthRule> rules_;
};

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

std::size_t samples_for(const FadedChoice& faded) {
  std::size_t spots = 0;
  for (const HandLaid& fade : faded.fades)
    spots = std::max(spots, fade.amount.weights().size());
  return std::max(least_samples_of_fit,
                  static_cast<std::size_t>(samples_of_spot * static_cast<double>(spots)));
}

}  // namespace

std::vector<Lab> label_labs(const Painter& painter, const Choice& choice, const std::vector<Tones>& labels) {
  std::vector<Lab> labs;
  labs.reserve(labels.size());
  for (const Tones& label : labels)
    labs.push_back(painter.lab(recipe_of(choice, label)));
  return labs;
}

Image<PackedLab> as_seen(const Target& target, Millimetres smallest) {
  const int width = target.grid.width, height = target.grid.height;
  Image<PackedLab> seen(width, height);
  const double sigma = std::max(0.3, 0.25 * (smallest / target.grid.pitch));
  // As far as OpenCV's kernel reaches for this sigma.
  const int reach = static_cast<int>(std::ceil(4 * sigma)) + 1;
  // In bands much higher than what they share with their neighbours, so that little is held at once.
  const int rows = std::max(64, 8 * reach);
  for_each_block(static_cast<std::size_t>((height + rows - 1) / rows), [&](std::size_t band) {
    const int begin = static_cast<int>(band) * rows, end = std::min(height, begin + rows);
    const int first = std::max(0, begin - reach), last = std::min(height, end + reach);
    Image<LabPixel> part = unpacked_rows(target.wanted, first, last);
    cv::Mat colours(part.height(), width, CV_32FC3, part.data());
    cv::GaussianBlur(colours, colours, {}, sigma, sigma, cv::BORDER_REPLICATE);
    std::copy(part.row(begin - first),
              part.row(begin - first) + static_cast<std::ptrdiff_t>(end - begin) * width, seen.row(begin));
  });
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
  const Levels levels(index, target.grid.pitch, rules.smallest);
  int level = levels.coarsest();
  // Labels and even coats in turn, until little changes.
  const auto improve = [&](int rounds, double begin, double end) {
    for (int round = 0; round < rounds; ++round) {
      report(begin + (end - begin) * round / rounds);
      const Image<std::uint16_t>& colour_at = levels.colour_at(level);
      const Labeller labeller(map.choice, map.labels);
      const CostTable table = costs_of(painter, map.choice, map.labels, index, rules.limits.pairs);
      const TableCosts costs(colour_at, table);
      const WidthRule& rule = levels.rule(level);
      if (map.label_at.empty())
        map.label_at = labeller.first_guess(colour_at, table, first_neighbourhood * rule.diameter());
      if (round == 0)
        map.label_at = labeller.settled(std::move(map.label_at), costs, rule);
      const double changed = labeller.improve(map.label_at, costs, rule);
      if (!tune_to_map(map, painter, index, colour_at, rules.limits) && changed < settled_share)
        break;
    }
  };
  const auto go_finer = [&] {
    --level;
    const Image<std::uint16_t>& colour_at = levels.colour_at(level);
    map.label_at = doubled(map.label_at, colour_at.width(), colour_at.height());
  };
  improve(rules.quick ? 1 : coarse_rounds, 0.4, 0.6);
  if (fades_allowed) {
    FadeSamples samples(target, samples_of_trial);
    samples.set_labels(map.label_at);
    lay_fades(now, painter, samples, rules.fades, rules.limits);
  }
  const auto refit = [&](std::size_t points, int rounds) {
    if (now.fades.empty())
      return;
    FadeSamples samples(target, points);
    samples.set_labels(map.label_at);
    refit_fades(now, painter, samples, rules.limits, rounds);
  };
  const auto faded_costs = [&] {
    return FadedCosts(painter, now, index, levels.colour_at(level), levels.pitch_of(level),
                      rules.limits.pairs);
  };
  for (int round = 0; round < (rules.quick ? 1 : fade_rounds) && !now.fades.empty(); ++round) {
    report(0.65 + 0.15 * round / fade_rounds);
    if (!rules.quick)
      refit(samples_of_rounds, 1);
    Labeller(map.choice, map.labels).improve(map.label_at, faded_costs(), levels.rule(level));
  }
  while (level > 0) {
    report(0.8 + 0.15 / (1 << level));
    go_finer();
    const WidthRule& rule = levels.rule(level);
    const Labeller labeller(map.choice, map.labels);
    const FadedCosts costs = faded_costs();
    map.label_at = labeller.settled(std::move(map.label_at), costs, rule);
    labeller.improve(map.label_at, costs, rule, rule.diameter() / 2);
  }
  report(0.95);
  refit(rules.quick ? samples_of_trial : samples_for(now), rules.quick ? 1 : 2);
  return compacted(target.grid, std::move(now));
}

}  // namespace powderplan
