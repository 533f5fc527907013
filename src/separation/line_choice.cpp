#include "separation/line_choice.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <opencv2/imgproc.hpp>

#include "colour/difference.h"
#include "parallel.h"
#include "separation/colour_index.h"
#include "separation/cost_table.h"

namespace powderplan {
namespace {

constexpr double load_step = 0.001;     // g/cm2
constexpr int loads_on_ladder = 12;     // evenly in the logarithm
constexpr int rounds_of_halving = 5;    // then the ladder's step is halved round the best
constexpr double same_colour = 2.0;     // Lab: spots this near on the same ground are judged as one
constexpr std::size_t most_spots = 64;  // of the choice: the weightiest
constexpr std::size_t colours_of_strokes = 48;
static_assert(colours_of_strokes * most_recipes_below < StrokeSpots::none);
constexpr int rounds_of_sharing = 4;

double rounded(double load, const LineLimits& limits) {
  return std::clamp(std::round(load / load_step) * load_step, limits.least_load.value(),
                    limits.most_load.value());
}

// Spots alike are put together, and only the weightiest are judged.
std::vector<LineSpot> summary_of(const std::vector<LineSpot>& spots) {
  std::vector<LineSpot> few;
  for (const LineSpot& spot : spots) {
    if (spot.weight <= 0)
      continue;
    const auto alike = std::find_if(few.begin(), few.end(), [&](const LineSpot& other) {
      return other.below == spot.below &&
             std::hypot(other.wanted.l - spot.wanted.l, other.wanted.a - spot.wanted.a,
                        other.wanted.b - spot.wanted.b) < same_colour;
    });
    if (alike != few.end())
      alike->weight += spot.weight;
    else
      few.push_back(spot);
  }
  std::stable_sort(few.begin(), few.end(),
                   [](const LineSpot& a, const LineSpot& b) { return a.weight > b.weight; });
  if (few.size() > most_spots)
    few.resize(most_spots);
  return few;
}

double weight_of(const std::vector<LineSpot>& spots) {
  double sum = 0;
  for (const LineSpot& spot : spots)
    sum += spot.weight;
  return sum;
}

double de00_with(const Painter& painter, const LineSpot& spot, std::size_t powder, double load) {
  Recipe recipe = spot.below;
  recipe.push_back({powder, Load(load)});
  return ciede2000(spot.wanted, painter.lab(recipe));
}

double mean_with(const Painter& painter, const std::vector<LineSpot>& spots, std::size_t powder,
                 double load) {
  double sum = 0;
  for (const LineSpot& spot : spots)
    sum += spot.weight * de00_with(painter, spot, powder, load);
  return sum / weight_of(spots);
}

double mean_without(const Painter& painter, const std::vector<LineSpot>& spots) {
  double sum = 0;
  for (const LineSpot& spot : spots)
    sum += spot.weight * ciede2000(spot.wanted, painter.lab(spot.below));
  return sum / weight_of(spots);
}

struct Trial {
  double load = 0, cost = std::numeric_limits<double>::infinity();
};

Trial best_load(const Painter& painter, const std::vector<LineSpot>& spots, std::size_t powder,
                const LineLimits& limits) {
  Trial best;
  const auto attempt = [&](double load) {
    const double cost = mean_with(painter, spots, powder, load) + price_of_load * load;
    if (cost < best.cost)
      best = {load, cost};
  };
  const double least = limits.least_load.value(), most = limits.most_load.value();
  double step = std::pow(most / least, 1.0 / (loads_on_ladder - 1));
  for (int i = 0; i < loads_on_ladder; ++i)
    attempt(rounded(least * std::pow(step, i), limits));
  for (int round = 0; round < rounds_of_halving; ++round) {
    step = std::sqrt(step);
    const double middle = best.load;
    attempt(rounded(middle * step, limits));
    attempt(rounded(middle / step, limits));
  }
  return best;
}

}  // namespace

std::optional<LineChoice> choose_line(const Painter& painter, const std::vector<LineSpot>& spots,
                                      const LineLimits& limits) {
  const std::vector<LineSpot> few = summary_of(spots);
  if (few.empty() || limits.usable.empty())
    return {};
  std::vector<Trial> trials(limits.usable.size());
  for_each_block(trials.size(),
                 [&](std::size_t i) { trials[i] = best_load(painter, few, limits.usable[i], limits); });
  const auto best = std::min_element(trials.begin(), trials.end(),
                                     [](const Trial& a, const Trial& b) { return a.cost < b.cost; });
  LineChoice choice;
  choice.powder = limits.usable[static_cast<std::size_t>(best - trials.begin())];
  choice.load = Load(best->load);
  choice.mean_de00 = mean_with(painter, few, choice.powder, best->load);
  choice.without_de00 = mean_without(painter, few);
  choice.gain = choice.without_de00 - best->cost;
  if (choice.gain <= 0)
    return {};
  return choice;
}

LineLayers line_layers(const Painter& painter, const std::vector<LineSpot>& spots, const LineLimits& limits,
                       std::size_t most) {
  LineLayers found;
  found.layer_of_spot.assign(spots.size(), LineLayers::no_layer);
  const double total = weight_of(spots);
  if (total <= 0)
    return found;
  std::vector<double> without(spots.size());
  for (std::size_t i = 0; i < spots.size(); ++i)
    without[i] = ciede2000(spots[i].wanted, painter.lab(spots[i].below));
  const auto mean_of = [&](const std::vector<double>& costs) {
    double sum = 0;
    for (std::size_t i = 0; i < spots.size(); ++i)
      sum += spots[i].weight * costs[i];
    return sum / total;
  };
  found.mean_de00 = mean_of(without);
  double least_cost = found.mean_de00;
  std::vector<WeightedColour> colours;
  for (const LineSpot& spot : spots) {
    if (spot.weight > 0)
      colours.push_back({spot.wanted, spot.weight});
  }
  for (std::size_t count = 1; count <= most; ++count) {
    const std::vector<WeightedColour> centres = cluster(colours, count);
    if (centres.size() < count)
      break;
    std::vector<std::size_t> share(spots.size());
    for (std::size_t i = 0; i < spots.size(); ++i) {
      double nearest = std::numeric_limits<double>::infinity();
      for (std::size_t c = 0; c < count; ++c) {
        const Lab &a = spots[i].wanted, &b = centres[c].lab;
        if (const double d = std::hypot(a.l - b.l, a.a - b.a, a.b - b.b); d < nearest) {
          nearest = d;
          share[i] = c;
        }
      }
    }
    std::vector<LineChoice> layers;
    std::vector<double> costs, errors;
    for (int round = 0; round < rounds_of_sharing; ++round) {
      layers.clear();
      for (std::size_t c = 0; c < count; ++c) {
        std::vector<LineSpot> own;
        for (std::size_t i = 0; i < spots.size(); ++i) {
          if (share[i] == c)
            own.push_back(spots[i]);
        }
        if (const auto choice = choose_line(painter, own, limits))
          layers.push_back(*choice);
      }
      costs = errors = without;
      share.assign(spots.size(), LineLayers::no_layer);
      for (std::size_t i = 0; i < spots.size(); ++i) {
        for (std::size_t c = 0; c < layers.size(); ++c) {
          const double error = de00_with(painter, spots[i], layers[c].powder, layers[c].load.value());
          const double cost = error + price_of_load * layers[c].load.value();
          if (cost < costs[i]) {
            costs[i] = cost;
            errors[i] = error;
            share[i] = c;
          }
        }
      }
      if (layers.size() < count)
        break;
    }
    const double cost = mean_of(costs);
    // Two layers more may be worth it where one more is not.
    const auto more = static_cast<double>(count - found.layers.size());
    if (layers.size() < count || least_cost - cost < more * least_gain_of_line_layer)
      continue;
    least_cost = cost;
    found.layers = layers;
    found.layer_of_spot = share;
    found.mean_de00 = mean_of(errors);
  }
  // The weightiest first.
  std::vector<double> weights(found.layers.size());
  for (std::size_t i = 0; i < spots.size(); ++i) {
    if (found.layer_of_spot[i] != LineLayers::no_layer)
      weights[found.layer_of_spot[i]] += spots[i].weight;
  }
  std::vector<std::size_t> order(found.layers.size()), place(found.layers.size());
  for (std::size_t i = 0; i < order.size(); ++i)
    order[i] = i;
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return weights[a] > weights[b]; });
  std::vector<LineChoice> sorted;
  for (std::size_t i = 0; i < order.size(); ++i) {
    place[order[i]] = i;
    sorted.push_back(found.layers[order[i]]);
  }
  found.layers = std::move(sorted);
  for (std::size_t& layer : found.layer_of_spot) {
    if (layer != LineLayers::no_layer)
      layer = place[layer];
  }
  return found;
}

StrokeSpots spots_of(const StrokeMap& strokes, std::uint8_t kind, const Separation& below) {
  std::vector<Recipe> recipes;
  for (const Tones& label : below.labels)
    recipes.push_back(recipe_of(below.choice, label));
  return spots_of(strokes, kind, below.label_at, recipes);
}

StrokeSpots spots_of(const StrokeMap& strokes, std::uint8_t kind, const Image<std::uint16_t>& below_at,
                     const std::vector<Recipe>& below) {
  const int width = strokes.on.width(), height = strokes.on.height();
  StrokeSpots spots;
  spots.at = Image<std::uint16_t>(width, height, StrokeSpots::none);
  Image<std::uint8_t> elsewhere(width, height);
  for (std::size_t i = 0; i < elsewhere.size(); ++i)
    elsewhere[i] = strokes.on[i] == kind ? 0 : 1;
  const ColourIndex index = index_colours(strokes.ink, elsewhere, colours_of_strokes);
  std::map<std::pair<std::uint16_t, std::uint16_t>, std::uint16_t> known;
  for (std::size_t i = 0; i < elsewhere.size(); ++i) {
    if (elsewhere[i] != 0)
      continue;
    const std::pair key{index.at[i], below_at[i]};
    const auto [place, is_new] = known.try_emplace(key, static_cast<std::uint16_t>(spots.spots.size()));
    if (is_new)
      spots.spots.push_back({index.colours[key.first].lab, below[key.second], 0});
    spots.spots[place->second].weight += 1;
    spots.at[i] = place->second;
  }
  return spots;
}

std::vector<Image<std::uint8_t>> masks_of(const StrokeSpots& spots, const LineLayers& layers,
                                          const Grid& grid, Millimetres shortest) {
  const int width = spots.at.width(), height = spots.at.height();
  const std::size_t count = layers.layers.size(), left_out = count;
  Image<std::uint8_t> owner(width, height, 255);
  for (std::size_t i = 0; i < owner.size(); ++i) {
    if (spots.at[i] != StrokeSpots::none)
      owner[i] = static_cast<std::uint8_t>(std::min(layers.layer_of_spot[spots.at[i]], left_out));
  }
  const Image<std::uint8_t> before = owner;
  for (std::size_t layer = 0; layer <= count && count > 0; ++layer) {
    cv::Mat mask(height, width, CV_8U), ids, stats, centres;
    for (int y = 0; y < height; ++y) {
      for (int x = 0; x < width; ++x)
        mask.at<std::uint8_t>(y, x) = before.at(x, y) == layer ? 1 : 0;
    }
    const int parts = cv::connectedComponentsWithStats(mask, ids, stats, centres, 8, CV_32S);
    // How many neighbouring points of each short piece belong to which other layer.
    std::vector<std::vector<int>> beside(static_cast<std::size_t>(parts));
    for (int part = 1; part < parts; ++part) {
      const double across =
          std::hypot(stats.at<int>(part, cv::CC_STAT_WIDTH), stats.at<int>(part, cv::CC_STAT_HEIGHT));
      if (across * grid.pitch.value() < shortest.value())
        beside[static_cast<std::size_t>(part)].assign(count + 1, 0);
    }
    const auto for_each_neighbour = [&](int x, int y, auto&& visit) {
      for (int ny = std::max(0, y - 1); ny <= std::min(height - 1, y + 1); ++ny) {
        for (int nx = std::max(0, x - 1); nx <= std::min(width - 1, x + 1); ++nx)
          visit(before.at(nx, ny));
      }
    };
    for (int y = 0; y < height; ++y) {
      for (int x = 0; x < width; ++x) {
        std::vector<int>& counts = beside[static_cast<std::size_t>(ids.at<int>(y, x))];
        if (counts.empty())
          continue;
        for_each_neighbour(x, y, [&](std::uint8_t other) {
          if (other != 255 && other != layer)
            ++counts[other];
        });
      }
    }
    for (int y = 0; y < height; ++y) {
      for (int x = 0; x < width; ++x) {
        const std::vector<int>& counts = beside[static_cast<std::size_t>(ids.at<int>(y, x))];
        if (counts.empty())
          continue;
        const auto most = std::max_element(counts.begin(), counts.end());
        if (*most > 0)
          owner.at(x, y) = static_cast<std::uint8_t>(most - counts.begin());
      }
    }
  }
  std::vector<Image<std::uint8_t>> masks(count, Image<std::uint8_t>(width, height));
  for (std::size_t i = 0; i < owner.size(); ++i) {
    if (owner[i] < count)
      masks[owner[i]][i] = 1;
  }
  return masks;
}

}  // namespace powderplan
