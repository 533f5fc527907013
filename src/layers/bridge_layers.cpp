#include "layers/bridge_layers.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>
#include <opencv2/imgproc.hpp>
#include <span>
#include <string>
#include <unordered_map>
#include <utility>

#include "colour/difference.h"
#include "layers/bridges.h"
#include "layers/island_choice.h"
#include "layers/make_stencil.h"
#include "layers/split_for_bridges.h"
#include "layers/spots.h"
#include "parallel.h"

namespace powderplan {
namespace {

// As much as colours can differ: no bridge is laid there while there is another way.
constexpr float cannot_close = 100;

// How far beside a point a fade is looked at where the point itself carries none of it.
constexpr double beside_mm = 6;

// What was asked of a layer, and what its template can have.
struct Asked {
  Image<std::uint8_t> open;
  Image<Amount> amount;
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

// Colours of spots, each computed once however often the layers are looked at.
class Looks {
 public:
  explicit Looks(const Painter& painter) : painter_(painter) {}

  // Of those spots that are `used`, without the layers that are `missing`; the others are left black.
  std::vector<Lab> of(const std::vector<Layer>& layers, const Spots& spots, const std::vector<bool>& used,
                      std::span<const std::size_t> missing) {
    std::vector<std::u16string> keys(spots.count());
    std::vector<std::size_t> fresh;
    for (std::size_t spot = 0; spot < keys.size(); ++spot) {
      if (!used[spot])
        continue;
      for (std::size_t layer = 0; layer < layers.size(); ++layer)
        keys[spot].push_back(static_cast<char16_t>(spots.amount(spot, layer)));
      for (const std::size_t layer : missing)
        keys[spot][layer] = 0;
      if (known_.try_emplace(keys[spot]).second)
        fresh.push_back(spot);
    }
    std::vector<Lab> found(fresh.size());
    constexpr std::size_t block = 256;
    for_each_block((fresh.size() + block - 1) / block, [&](std::size_t b) {
      Coats coats;
      for (std::size_t i = b * block; i < std::min(fresh.size(), (b + 1) * block); ++i)
        found[i] = to_lab(painter_.xyz(recipe_at(spots, fresh[i], layers, missing), coats));
    });
    for (std::size_t i = 0; i < fresh.size(); ++i)
      known_[keys[fresh[i]]] = found[i];
    std::vector<Lab> labs(spots.count());
    for (std::size_t spot = 0; spot < keys.size(); ++spot) {
      if (used[spot])
        labs[spot] = known_.at(keys[spot]);
    }
    return labs;
  }

  // To be called when there are other layers than before, not when only their amounts have changed.
  void forget() { known_.clear(); }

 private:
  const Painter& painter_;
  std::unordered_map<std::u16string, Lab> known_;  // by the amounts of all layers
};

class Bridging {
 public:
  Bridging(std::vector<Layer>& layers, const Painter& painter, const Target& target,
           const BridgingRules& rules)
      : layers_(layers), target_(target), rules_(rules), looks_(painter) {}

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
      fresh_ = true;
    }
    return spots_;
  }

  // How much the colour difference rises at each point of the mask when these layers are missing there.
  Image<float> cost_without(std::span<const std::size_t> missing, const Image<std::uint8_t>& mask) {
    const Image<std::uint32_t>& spot_at = spots().at();
    std::vector<bool> used(spots_.count());
    for (std::size_t i = 0; i < mask.size(); ++i) {
      if (mask[i] != 0)
        used[spot_at[i]] = true;
    }
    const std::vector<Lab> with = looks_.of(layers_, spots_, used, {});
    const std::vector<Lab> without = looks_.of(layers_, spots_, used, missing);
    Image<float> cost(mask.width(), mask.height(), 0);
    for_each_row_band(mask.height(), [&](int begin, int end) {
      for (int y = begin; y < end; ++y) {
        for (int x = 0; x < mask.width(); ++x) {
          if (mask.at(x, y) == 0 || (!target_.bare.empty() && target_.bare.at(x, y) != 0))
            continue;
          const Lab wanted = to_lab(target_.wanted.at(x, y));
          const std::uint32_t spot = spot_at.at(x, y);
          cost.at(x, y) =
              static_cast<float>(ciede2000(wanted, without[spot]) - ciede2000(wanted, with[spot]));
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
    const auto costs = [&] {
      Image<float> as_seen = cost_without(closed, asked.open);
      Image<float> cost = as_seen;
      for (const std::size_t i : in_the_way) {
        for (std::size_t p = 0; p < cost.size(); ++p) {
          if (layers_[i].amount[p] != 0)
            cost[p] += cannot_close;
        }
      }
      return std::pair{std::move(cost), std::move(as_seen)};
    };
    const auto placed = [&](const Image<float>& cost, const Image<float>& as_seen,
                            BridgePlacement placement) {
      BridgedMask found = bridged(asked.open, cost, target_.grid, rules_.stencil, placement);
      found.error_cm2 = error_of_closing(asked.open, found.open, as_seen, target_.grid);
      return found;
    };
    const auto [cost, as_seen] = costs();
    for_each_block(2, [&](std::size_t k) {
      if (k == 0)
        asked.least = placed(cost, as_seen, BridgePlacement::least_error);
      else
        asked.shortest_error_cm2 = placed(cost, as_seen, BridgePlacement::shortest).error_cm2;
    });
    do_without_islands(j, [&] {
      const auto [now, now_as_seen] = costs();
      return placed(now, now_as_seen, BridgePlacement::least_error);
    });
    for (const std::size_t i : closed)
      close(layers_[i], asked.open, asked.least.open);
    fresh_ = false;
  }

  // Powder over small islands, where that costs the picture less than the bridges that would hold them.
  template <class Placed>
  void do_without_islands(std::size_t j, const Placed& placed) {
    Asked& asked = asked_[j];
    if (asked.least.bridges.empty())
      return;
    const Asked before = asked;
    // As it would look with every island powdered over.
    const Image<std::uint8_t> islands = openable(j);
    fill(layers_[j], islands);
    fresh_ = false;
    Image<float> cost = cost_without(std::array{j}, islands);
    for (std::size_t p = 0; p < cost.size(); ++p)
      cost[p] = islands[p] == 0 ? never_open : -cost[p];
    layers_[j].open = before.open;
    layers_[j].amount = before.amount;
    const Image<std::uint8_t> dropped =
        islands_to_drop(asked.open, asked.least, cost, target_.grid, rules_.stencil);
    double powder_cm2 = 0;
    for (std::size_t p = 0; p < dropped.size(); ++p)
      powder_cm2 += dropped[p] != 0 ? static_cast<double>(cost[p]) * target_.grid.point_cm2() : 0;
    fill(layers_[j], dropped);
    fresh_ = false;
    asked.open = layers_[j].open;
    asked.amount = layers_[j].amount;
    asked.least = placed();
    asked.least.error_cm2 += powder_cm2;
    if (asked.least.error_cm2 < before.least.error_cm2)
      return;
    asked = before;
    layers_[j].open = before.open;
    layers_[j].amount = before.amount;
    fresh_ = false;
  }

  // Closed points of the layer that could be opened: the picture wants glass powder there, and no template
  // that comes later is laid flat on them while the powder is loose.
  Image<std::uint8_t> openable(std::size_t j) const {
    const Layer& layer = layers_[j];
    Image<std::uint8_t> may(layer.open.width(), layer.open.height());
    for (std::size_t p = 0; p < may.size(); ++p)
      may[p] = layer.open[p] == 0 && (target_.bare.empty() || target_.bare[p] == 0) ? 1 : 0;
    for (std::size_t k = j + 1; k < std::min(layers_.size(), rules_.loose_below.size()); ++k) {
      const std::vector<std::size_t>& loose = rules_.loose_below[k];
      if (layers_[k].open.empty() || std::find(loose.begin(), loose.end(), j) == loose.end())
        continue;
      for (std::size_t p = 0; p < may.size(); ++p)
        may[p] = layers_[k].open[p] != 0 ? may[p] : std::uint8_t{0};
    }
    return may;
  }

  // Opens points; a fade lays there what it lays beside them.
  void fill(Layer& layer, const Image<std::uint8_t>& points) const {
    cv::Mat laid(layer.open.height(), layer.open.width(), CV_32F), open(laid.size(), CV_32F), sum, share;
    for (std::size_t p = 0; p < layer.open.size(); ++p) {
      open.ptr<float>()[p] = layer.open[p] != 0 ? 1.0F : 0.0F;
      laid.ptr<float>()[p] = layer.open[p] != 0 ? static_cast<float>(layer.amount[p]) : 0.0F;
    }
    const int reach = 2 * static_cast<int>(beside_mm / target_.grid.pitch.value()) + 1;
    cv::boxFilter(laid, sum, CV_32F, {reach, reach}, {-1, -1}, false, cv::BORDER_CONSTANT);
    cv::boxFilter(open, share, CV_32F, {reach, reach}, {-1, -1}, false, cv::BORDER_CONSTANT);
    for (std::size_t p = 0; p < points.size(); ++p) {
      const float beside = share.ptr<float>()[p];
      if (points[p] == 0 || beside <= 0.5F)
        continue;
      layer.open[p] = 1;
      layer.amount[p] = static_cast<Amount>(std::lround(sum.ptr<float>()[p] / beside));
    }
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
    looks_.forget();
    fresh_ = false;
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
  const Target& target_;
  const BridgingRules& rules_;
  std::vector<Asked> asked_;
  // Of the layers as they are, unless they have changed.
  bool fresh_ = false;
  Spots spots_;
  Looks looks_;
};

}  // namespace

void bridge_layers(std::vector<Layer>& layers, const Painter& painter, const Target& target,
                   const BridgingRules& rules) {
  Bridging(layers, painter, target, rules).run();
}

}  // namespace powderplan
