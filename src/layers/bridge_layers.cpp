#include "layers/bridge_layers.h"

#include <algorithm>
#include <array>
#include <limits>
#include <numeric>
#include <span>
#include <utility>

#include "colour/difference.h"
#include "layers/bridges.h"
#include "layers/fired_look.h"
#include "layers/make_stencil.h"
#include "layers/split_for_bridges.h"
#include "layers/spots.h"
#include "parallel.h"

namespace powderplan {
namespace {

// As much as colours can differ: no bridge is laid there while there is another way.
constexpr float cannot_close = 100;

// What was asked of a layer, and what its template can have.
struct Asked {
  Image<std::uint8_t> open;
  Image<std::uint16_t> amount;
  BridgedMask least;
  double shortest_error_cm2 = 0;
};

// Closes what was asked to be open and is not.
void close(Layer& layer, const Image<std::uint8_t>& asked, const Image<std::uint8_t>& open) {
  for (std::size_t i = 0; i < open.size(); ++i) {
    if (asked[i] != 0 && open[i] == 0) {
      layer.open[i] = 0;
      layer.amount[i] = 0;
    }
  }
}

class Bridging {
 public:
  Bridging(std::vector<Layer>& layers, const Painter& painter, const Choice& choice, const Target& target,
           const BridgingRules& rules)
      : layers_(layers), painter_(painter), choice_(choice), target_(target), rules_(rules) {}

  void run() {
    asked_.resize(layers_.size());
    for (std::size_t j = layers_.size(); j-- > 0;) {
      if (!layers_[j].open.empty())
        bridge(j);
    }
    for (std::size_t j = 0; j < layers_.size(); ++j) {
      if (layers_[j].open.empty())
        continue;
      CutStencil& cut = layers_[j].stencil.emplace();
      cut.error_cm2 = asked_[j].least.error_cm2;
      cut.shortest_error_cm2 = asked_[j].shortest_error_cm2;
    }
    split();
    for (std::size_t j = 0; j < layers_.size(); ++j)
      measure(layers_[j], target_.grid);
    for_each_block(layers_.size(), [&](std::size_t j) {
      if (layers_[j].stencil)
        layers_[j].stencil->stencil =
            make_stencil({layers_[j].open, asked_[j].least.bridges, 0}, target_.grid, rules_.stencil);
    });
    std::erase_if(layers_, [](const Layer& layer) { return layer.regions.empty(); });
  }

 private:
  [[nodiscard]] double piece_cm2() const {
    return static_cast<double>(target_.wanted.size()) * target_.grid.point_cm2();
  }

  [[nodiscard]] const Spots& spots() {
    if (!fresh_) {
      spots_ = Spots(layers_, target_.grid.width, target_.grid.height, fade_levels);
      looks_ = spot_labs(painter_, choice_, layers_, spots_);
      fresh_ = true;
    }
    return spots_;
  }

  // How much the colour difference rises at each point of the mask when these layers are missing there.
  Image<float> cost_without(std::span<const std::size_t> missing, const Image<std::uint8_t>& mask) {
    const Image<std::uint32_t>& spot_at = spots().at();
    const std::vector<Lab> without = spot_labs(painter_, choice_, layers_, spots_, missing);
    Image<float> cost(mask.width(), mask.height(), 0);
    for_each_row_band(mask.height(), [&](int begin, int end) {
      for (int y = begin; y < end; ++y) {
        for (int x = 0; x < mask.width(); ++x) {
          if (mask.at(x, y) == 0 || (!target_.bare.empty() && target_.bare.at(x, y) != 0))
            continue;
          const Lab wanted = to_lab(target_.wanted.at(x, y));
          const std::uint32_t spot = spot_at.at(x, y);
          cost.at(x, y) =
              static_cast<float>(ciede2000(wanted, without[spot]) - ciede2000(wanted, looks_[spot]));
        }
      }
    });
    return cost;
  }

  void bridge(std::size_t j) {
    std::vector<std::size_t> closed{j};
    std::vector<std::size_t> in_the_way;
    if (j < rules_.loose_below.size()) {
      for (const std::size_t i : rules_.loose_below[j])
        (layers_[i].open.empty() ? in_the_way : closed).push_back(i);
    }
    Asked& asked = asked_[j];
    asked.open = layers_[j].open;
    asked.amount = layers_[j].amount;
    Image<float> cost = cost_without(closed, asked.open);
    const Image<float> cost_as_seen = cost;
    for (const std::size_t i : in_the_way) {
      for (std::size_t p = 0; p < cost.size(); ++p) {
        if (layers_[i].amount[p] != 0)
          cost[p] += cannot_close;
      }
    }
    std::array<BridgedMask, 2> found;
    constexpr std::array placements{BridgePlacement::least_error, BridgePlacement::shortest};
    for_each_block(found.size(), [&](std::size_t k) {
      found[k] = bridged(asked.open, cost, target_.grid, rules_.stencil, placements[k]);
      found[k].error_cm2 = error_of_closing(asked.open, found[k].open, cost_as_seen, target_.grid);
    });
    asked.least = std::move(found[0]);
    asked.shortest_error_cm2 = found[1].error_cm2;
    for (const std::size_t i : closed)
      close(layers_[i], asked.open, asked.least.open);
    fresh_ = false;
  }

  // What the least of the layers is worth: rise of the mean colour difference without it.
  double least_worth() {
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t j = 0; j < layers_.size(); ++j) {
      Image<std::uint8_t> all(target_.grid.width, target_.grid.height, 0);
      for (std::size_t p = 0; p < all.size(); ++p)
        all[p] = layers_[j].amount[p] != 0 ? 1 : 0;
      const Image<float> cost = cost_without(std::array{j}, all);
      const double sum = std::accumulate(cost.data(), cost.data() + cost.size(), 0.0);
      least = std::min(least, sum / static_cast<double>(cost.size()));
    }
    return least;
  }

  void split() {
    std::vector<std::size_t> candidates;
    for (std::size_t j = 0; j < layers_.size(); ++j) {
      if (asked_[j].least.error_cm2 > least_split_gain * piece_cm2() && !asked_[j].least.bridges.empty())
        candidates.push_back(j);
    }
    if (candidates.empty() || layers_.size() >= rules_.most_layers)
      return;
    std::stable_sort(candidates.begin(), candidates.end(), [&](std::size_t a, std::size_t b) {
      return asked_[a].least.error_cm2 > asked_[b].least.error_cm2;
    });
    const double price = std::max(least_split_gain, least_worth());
    for (std::size_t k = 0; k < candidates.size() && layers_.size() < rules_.most_layers; ++k) {
      if (!split(candidates[k], price))
        continue;
      for (std::size_t& later : candidates)
        later += later > candidates[k] ? 1 : 0;
    }
  }

  // Puts two layers in the place of one if that lowers the mean colour difference by the price.
  bool split(std::size_t j, double price) {
    const Asked asked = asked_[j];
    // As it looks without bridges.
    std::vector<Layer> before = layers_;
    layers_[j].open = asked.open;
    layers_[j].amount = asked.amount;
    fresh_ = false;
    const Image<float> cost = cost_without(std::array{j}, asked.open);
    BridgedMask held = asked.least;
    held.error_cm2 = error_of_closing(asked.open, held.open, cost, target_.grid);
    SplitMask parts = split_for_bridges(asked.open, held, cost, target_.grid, rules_.stencil);

    Layer first = layers_[j], second = layers_[j];
    close(first, asked.open, parts.first.open);
    close(second, asked.open, parts.second.open);
    first.stencil->part = 1;
    second.stencil->part = 2;
    first.stencil->error_cm2 = parts.error_cm2;
    second.stencil->error_cm2 = second.stencil->shortest_error_cm2 = 0;
    layers_[j] = std::move(first);
    layers_.insert(layers_.begin() + static_cast<std::ptrdiff_t>(j) + 1, std::move(second));
    const bool good = (held.error_cm2 - parts.error_cm2) / piece_cm2() >= price &&
                      (!rules_.may_be_split || rules_.may_be_split(layers_));
    if (!good) {
      layers_ = std::move(before);
      return false;
    }
    asked_[j].least.bridges = std::move(parts.first.bridges);
    Asked added;
    added.least.bridges = std::move(parts.second.bridges);
    asked_.insert(asked_.begin() + static_cast<std::ptrdiff_t>(j) + 1, std::move(added));
    return true;
  }

  std::vector<Layer>& layers_;
  const Painter& painter_;
  const Choice& choice_;
  const Target& target_;
  const BridgingRules& rules_;
  std::vector<Asked> asked_;
  // Of the layers as they are, unless they have changed.
  bool fresh_ = false;
  Spots spots_;
  std::vector<Lab> looks_;
};

}  // namespace

void bridge_layers(std::vector<Layer>& layers, const Painter& painter, const Choice& choice,
                   const Target& target, const BridgingRules& rules) {
  Bridging(layers, painter, choice, target, rules).run();
}

}  // namespace powderplan
