#include "firing/firing_rules.h"

#include <algorithm>
#include <cmath>
#include <set>
#include <type_traits>

#include "parallel.h"

namespace powderplan {
namespace {

// Softening is compared in whole thousandths of the caller's unit, so that sums do not depend on their order.
constexpr double softening_unit = 1e-3;

// Where any of a layer lies.
BitMask powder_of(const Layer& layer) {
  static_assert(std::is_same_v<Amount, std::uint8_t>);
  return layer.amount;
}

bool overlap(const BitMask& a, const BitMask& b) {
  for (int y = 0; y < a.height(); ++y) {
    for (int w = 0; w < a.words(); ++w) {
      if ((a.row(y)[w] & b.row(y)[w]) != 0)
        return true;
    }
  }
  return false;
}

// Powder of the one on, or beside, powder of the other.
bool touch(const Layer& a, const Layer& b) {
  const int width = a.amount.width(), height = a.amount.height();
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      if (a.amount.at(x, y) == 0)
        continue;
      if (b.amount.at(x, y) != 0 || (x > 0 && b.amount.at(x - 1, y) != 0) ||
          (x + 1 < width && b.amount.at(x + 1, y) != 0) || (y > 0 && b.amount.at(x, y - 1) != 0) ||
          (y + 1 < height && b.amount.at(x, y + 1) != 0))
        return true;
    }
  }
  return false;
}

// Whether powder lies under a template, open where it says, that is laid flat.
bool lies_under(const BitMask& powder, const BitMask& open) {
  for (int y = 0; y < open.height(); ++y) {
    for (int w = 0; w < open.words(); ++w) {
      if ((powder.row(y)[w] & ~open.row(y)[w]) != 0)
        return true;
    }
  }
  return false;
}

double outline_of(const Layer& layer) {
  double edges = 0;
  layer.open.for_each_edge(
      [&](int, int, bool left, bool above) { edges += (left ? 1 : 0) + (above ? 1 : 0); });
  return edges;
}

bool are_apart(const FiringLimits& limits, std::size_t one, std::size_t other) {
  return std::any_of(limits.apart.begin(), limits.apart.end(), [&](const PowderPair& pair) {
    return (pair.a == one && pair.b == other) || (pair.a == other && pair.b == one);
  });
}

// What lies at the spots where all layers together are heavier than the limit, without those that others
// outweigh layer by layer.
std::vector<std::vector<Load>> heavy_spots(std::span<const Layer> layers, Load limit) {
  std::set<std::vector<std::uint16_t>> found;
  const auto collect = [&](std::uint16_t step) {
    found.clear();
    std::vector<std::uint16_t> amounts(layers.size());
    for (std::size_t p = 0; p < layers.front().amount.size(); ++p) {
      Load sum;
      for (const Layer& layer : layers)
        sum += layer.load * (static_cast<double>(layer.amount[p]) / whole_amount);
      if (sum <= limit + load_tolerance)
        continue;
      for (std::size_t i = 0; i < layers.size(); ++i)
        amounts[i] = static_cast<std::uint16_t>((layers[i].amount[p] + step - 1) / step * step);
      found.insert(amounts);
      if (step == 1 && found.size() > most_heavy_spots)
        return false;
    }
    return true;
  };
  constexpr std::uint16_t fifteenth = whole_amount / 15;
  if (!collect(1))
    collect(fifteenth);
  std::vector<std::vector<std::uint16_t>> kept;
  // Backwards: a vector that outweighs another comes after it in the set.
  for (auto spot = found.rbegin(); spot != found.rend(); ++spot) {
    const bool outweighed = std::any_of(kept.begin(), kept.end(), [&](const auto& other) {
      return std::equal(spot->begin(), spot->end(), other.begin(), std::less_equal<>());
    });
    if (!outweighed)
      kept.push_back(*spot);
  }
  std::vector<std::vector<Load>> loads;
  for (const std::vector<std::uint16_t>& spot : kept) {
    std::vector<Load>& at = loads.emplace_back();
    for (std::size_t i = 0; i < layers.size(); ++i)
      at.push_back(layers[i].load * (static_cast<double>(spot[i]) / whole_amount));
  }
  return loads;
}

}  // namespace

FiringTask firing_task(std::span<const Layer> layers, const FiringLimits& limits,
                       std::span<const double> softening) {
  FiringTask task = empty_task(layers.size());
  task.most_loose_load = limits.most_loose_load;
  if (layers.empty())
    return task;
  std::vector<BitMask> powder(layers.size());
  for_each_block(layers.size(), [&](std::size_t i) { powder[i] = powder_of(layers[i]); });
  for_each_block(layers.size(), [&](std::size_t j) {
    for (std::size_t i = 0; i < layers.size(); ++i) {
      if (i == j)
        continue;
      if (lies_under(powder[i], layers[j].open))
        task.touches[j] |= only(i);
      if (finish_wished(limits, layers[i].powder) > finish_wished(limits, layers[j].powder))
        task.fired_before[j] |= only(i);
      if (are_apart(limits, layers[i].powder, layers[j].powder) && touch(layers[i], layers[j]))
        task.never_with[j] |= only(i);
      if (i > j)
        continue;
      // A scratch goes through what lies there when it is drawn, and must not be sifted over.
      const bool scratch = layers[i].scratched || layers[j].scratched;
      if (scratch || (layers[i].powder != layers[j].powder && overlap(powder[i], powder[j])))
        task.above[j] |= only(i);
    }
    task.softening[j] =
        std::llround((j < softening.size() ? softening[j] : outline_of(layers[j])) / softening_unit);
    for (const FixedFiring& fixed : limits.fixed) {
      if (fixed.powder == layers[j].powder)
        task.fixed[j] = fixed.firing;
    }
  });
  task.heavy_spots = heavy_spots(layers, limits.most_loose_load);
  return task;
}

}  // namespace powderplan
