#include "separation/map_tuning.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <unordered_map>

#include "parallel.h"
#include "separation/colour_metric.h"
#include "separation/label_colours.h"

namespace powderplan {
namespace {

constexpr std::array<double, 3> load_steps{1.35, 1.12, 1.04};
// Loads at which another powder is tried, as multiples of the one it would replace.
constexpr std::array<double, 5> replacement_factors{0.3, 0.6, 1.0, 1.7, 3.0};
// A change must gain this share.
constexpr double least_gain = 0.0005;

struct Meeting {
  std::uint16_t label = 0, colour = 0;
  double share = 0;  // of all points
};

// Which labels lie on which colours, and how often.
std::vector<Meeting> meetings(const Image<std::uint16_t>& label_at, const Image<std::uint16_t>& colour_at) {
  std::unordered_map<std::uint32_t, std::size_t> count;
  for (std::size_t i = 0; i < label_at.size(); ++i) {
    if (colour_at[i] != ColourIndex::bare)
      ++count[static_cast<std::uint32_t>(label_at[i]) << 16 | colour_at[i]];
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

// How well fillings of the same masks serve the picture.
class MapDistance {
 public:
  MapDistance(const Painter& painter, const LabelledChoice& labelled, const ColourIndex& index,
              const Image<std::uint16_t>& colour_at, const std::vector<PairPrice>& pairs)
      : painter_(painter),
        pairs_(pairs),
        shape_(labelled.choice, labelled.labels),
        met_(meetings(labelled.label_at, colour_at)) {
    for (const WeightedColour& c : index.colours)
      metrics_.emplace_back(c.lab);
  }
  // Mean distance of a choice of the same shape.
  [[nodiscard]] double operator()(const Choice& choice) const {
    std::vector<Lab> labs;
    for (const Xyz& colour : label_colours(painter_, choice, shape_))
      labs.push_back(to_lab(colour));
    std::vector<double> contacts(labs.size());
    double sum = 0;
    if (!pairs_.empty()) {
      for (std::size_t i = 0; i < labs.size(); ++i)
        contacts[i] = price_of_contacts(recipe_of(choice, shape_.labels()[i]), pairs_);
      sum = price_of_holding(choice, pairs_);
    }
    for (const Meeting& m : met_)
      sum += m.share * (std::sqrt(metrics_[m.colour].square_distance(labs[m.label])) + contacts[m.label]);
    return sum;
  }
  // Makes `choice` the best of several, the first of equals, where that is better than `least`, its own
  // distance. False, and nothing changed, where none is.
  bool take_best(const std::vector<Choice>& tried, Choice& choice, double& least) const {
    std::vector<double> cost(tried.size());
    for_each_block(tried.size(), [&](std::size_t i) { cost[i] = (*this)(tried[i]); });
    const auto best = std::min_element(cost.begin(), cost.end());
    if (best == cost.end() || *best >= least * (1 - least_gain))
      return false;
    choice = tried[static_cast<std::size_t>(best - cost.begin())];
    least = *best;
    return true;
  }

 private:
  const Painter& painter_;
  const std::vector<PairPrice>& pairs_;
  LabelShape shape_;
  std::vector<Meeting> met_;
  std::vector<LocalMetric> metrics_;
};

// The choice with its nest `from` moved to the place `to`; the labels and the map follow. Nothing where a
// label of the map would then be of too many doses.
std::optional<LabelledChoice> moved(const LabelledChoice& labelled, std::size_t from, std::size_t to,
                                    std::size_t most_at_a_spot) {
  const auto move_entry = [&](auto list) {
    const auto entry = list[from];
    list.erase(list.begin() + static_cast<std::ptrdiff_t>(from));
    list.insert(list.begin() + static_cast<std::ptrdiff_t>(to), entry);
    return list;
  };
  LabelledChoice out{move_entry(labelled.choice), {}, labelled.label_at};
  out.labels = all_labels(out.choice, most_at_a_spot);
  std::map<std::vector<int>, std::uint16_t> place;
  for (std::size_t i = 0; i < out.labels.size(); ++i)
    place.emplace(std::vector<int>(out.labels[i].begin(), out.labels[i].end()),
                  static_cast<std::uint16_t>(i));
  std::vector<std::optional<std::uint16_t>> renumbered;
  for (const Tones& label : labelled.labels) {
    const auto at = place.find(move_entry(std::vector<int>(label.begin(), label.end())));
    renumbered.push_back(at == place.end() ? std::nullopt : std::optional(at->second));
  }
  for (std::size_t i = 0; i < out.label_at.size(); ++i) {
    const std::optional<std::uint16_t> label = renumbered[out.label_at[i]];
    if (!label)
      return std::nullopt;
    out.label_at[i] = *label;
  }
  return out;
}

bool tune_loads(Choice& choice, double& least, const MapDistance& distance, const ChoiceLimits& limits) {
  bool changed = false;
  for (const double step : load_steps) {
    for (std::size_t p = 0; p < choice.size(); ++p) {
      for (std::size_t i = 0; i < choice[p].steps.size(); ++i) {
        std::vector<Choice> tried;
        for (const double factor : {1 / step, step}) {
          Choice next = choice;
          next[p].steps[i].load = next[p].steps[i].load * factor;
          if (allowed(next, limits))
            tried.push_back(std::move(next));
        }
        changed |= distance.take_best(tried, choice, least);
      }
    }
  }
  return changed;
}

// Each powder by one that the choice does not hold, wherever it lies: so the labels stay what they are.
bool replace_powders(Choice& choice, double& least, const MapDistance& distance, const ChoiceLimits& limits) {
  bool changed = false;
  for (const std::size_t old : powders_of(choice)) {
    if (std::find(limits.use.begin(), limits.use.end(), old) != limits.use.end())
      continue;
    const std::vector<std::size_t> held = powders_of(choice);
    std::vector<Choice> tried;
    for (const std::size_t powder : limits.usable) {
      if (std::find(held.begin(), held.end(), powder) != held.end())
        continue;
      for (const double factor : replacement_factors) {
        Choice next = choice;
        for (Nest& nest : next) {
          for (Dose& step : nest.steps) {
            if (step.powder == old)
              step = {powder, step.load * factor};
          }
        }
        if (allowed(next, limits))
          tried.push_back(std::move(next));
      }
    }
    changed |= distance.take_best(tried, choice, least);
  }
  return changed;
}

}  // namespace

bool tune_to_map(LabelledChoice& labelled, const Painter& painter, const ColourIndex& index,
                 const Image<std::uint16_t>& colour_at, const ChoiceLimits& limits) {
  const MapDistance distance(painter, labelled, index, colour_at, limits.pairs);
  double least = distance(labelled.choice);
  bool changed = tune_loads(labelled.choice, least, distance, limits);
  if (replace_powders(labelled.choice, least, distance, limits)) {
    tune_loads(labelled.choice, least, distance, limits);
    changed = true;
  }
  // Neighbours in the stack change places.
  for (std::size_t p = 0; p + 1 < labelled.choice.size(); ++p) {
    std::optional<LabelledChoice> swapped = moved(labelled, p, p + 1, limits.most_at_a_spot);
    if (!swapped || !allowed(swapped->choice, limits))
      continue;
    const double cost = MapDistance(painter, *swapped, index, colour_at, limits.pairs)(swapped->choice);
    if (cost < least * (1 - least_gain)) {
      labelled = std::move(*swapped);
      least = cost;
      changed = true;
    }
  }
  return changed;
}

}  // namespace powderplan
