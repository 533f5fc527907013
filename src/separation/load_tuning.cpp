#include "separation/load_tuning.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <unordered_map>

#include "parallel.h"
#include "separation/colour_metric.h"

namespace powderplan {
namespace {

constexpr std::array<double, 3> steps{1.35, 1.15, 1.05};

struct Meeting {
  std::uint16_t label = 0, colour = 0;
  double share = 0;  // of all points
};

// Which labels lie on which colours, and how often.
std::vector<Meeting> meetings(const Image<std::uint16_t>& label_at, const ColourIndex& index) {
  std::unordered_map<std::uint32_t, std::size_t> count;
  for (std::size_t i = 0; i < label_at.size(); ++i) {
    if (index.at[i] != ColourIndex::bare)
      ++count[static_cast<std::uint32_t>(label_at[i]) << 16 | index.at[i]];
  }
  std::vector<Meeting> list;
  for (const auto& [key, points] : count)
    list.push_back({static_cast<std::uint16_t>(key >> 16), static_cast<std::uint16_t>(key & 0xffff),
                    static_cast<double>(points) / static_cast<double>(label_at.size())});
  std::sort(list.begin(), list.end(), [](const Meeting& a, const Meeting& b) {
    return a.label != b.label ? a.label < b.label : a.colour < b.colour;
  });
  return list;
}

bool within(const Choice& choice, const ChoiceLimits& limits) {
  return std::all_of(choice.begin(), choice.end(), [&](const ChosenPowder& powder) {
    Load sum;
    for (const Load load : powder.loads) {
      if (load < limits.least_load)
        return false;
      sum += load;
    }
    return sum <= limits.most_load;
  });
}

}  // namespace

Choice tuned_to_map(const Painter& painter, const Choice& choice, const std::vector<Tones>& labels,
                    const Image<std::uint16_t>& label_at, const ColourIndex& index, const ChoiceLimits& limits) {
  const std::vector<Meeting> met = meetings(label_at, index);
  std::vector<LocalMetric> metrics;
  for (const WeightedColour& c : index.colours)
    metrics.emplace_back(c.lab);
  std::vector<bool> used(labels.size(), false);
  for (const Meeting& m : met)
    used[m.label] = true;
  const auto distance = [&](const Choice& tried) {
    std::vector<Lab> labs(labels.size());
    for (std::size_t i = 0; i < labels.size(); ++i) {
      if (used[i])
        labs[i] = painter.lab(recipe_of(tried, labels[i]));
    }
    double sum = 0;
    for (const Meeting& m : met)
      sum += m.share * std::sqrt(metrics[m.colour].square_distance(labs[m.label]));
    return sum;
  };

  Choice best = choice;
  double least = distance(best);
  for (const double step : steps) {
    for (std::size_t p = 0; p < best.size(); ++p) {
      for (std::size_t i = 0; i < best[p].loads.size(); ++i) {
        const std::array<double, 2> factors{1 / step, step};
        std::array<Choice, 2> tried{best, best};
        std::array<double, 2> cost{least, least};
        for_each_block(2, [&](std::size_t f) {
          tried[f][p].loads[i] = tried[f][p].loads[i] * factors[f];
          if (within(tried[f], limits))
            cost[f] = distance(tried[f]);
        });
        const std::size_t f = cost[1] < cost[0] ? 1 : 0;
        if (cost[f] < least) {
          least = cost[f];
          best = tried[f];
        }
      }
    }
  }
  return best;
}

}  // namespace powderplan
