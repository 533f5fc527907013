#include "layers/bridge_layers.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>
#include <opencv2/imgproc.hpp>
#include <span>
#include <utility>

#include "layers/bridges.h"
#include "layers/island_choice.h"
#include "layers/layer_looks.h"
#include "layers/make_stencil.h"
#include "layers/split_for_bridges.h"
#include "parallel.h"
#include "separation/width_rule.h"

namespace powderplan {
namespace {

// As much as colours can differ: no bridge is laid there while there is another way.
constexpr float cannot_close = 100;

// How far beside a point a fade is looked at where the point itself carries none of it.
constexpr double beside_mm = 6;

// Cells of the looks, so many across the smallest width.
constexpr int cells_across = 4;

// Some points of a layer and what lies there.
struct Laid {
  std::vector<cv::Point> points;
  std::vector<Amount> amounts;
};

void lay(Layer& layer, const Laid& laid) {
  for (std::size_t i = 0; i < laid.points.size(); ++i) {
    const cv::Point p = laid.points[i];
    layer.open.set(p.x, p.y);
    layer.amount.at(p.x, p.y) = laid.amounts[i];
  }
}

// Closes the points, and returns what lay there.
Laid close(Layer& layer, const std::vector<cv::Point>& points) {
  Laid laid{points, {}};
  for (const cv::Point& p : points) {
    laid.amounts.push_back(layer.amount.at(p.x, p.y));
    layer.open.clear(p.x, p.y);
    layer.amount.at(p.x, p.y) = 0;
  }
  return laid;
}

// What one mask has more than another.
std::vector<cv::Point> points_closed(BitMask mask, const BitMask& open) {
  std::vector<cv::Point> points;
  mask.remove(open).for_each([&](int x, int y) { points.emplace_back(x, y); });
  return points;
}

// What was asked of a layer, and what its template can have.
struct Asked {
  BitMask open;
  BridgedMask least;
  double shortest_error_cm2 = 0;
  Laid closed;  // what is missing of what was asked for
};

class Bridging {
 public:
  Bridging(std::vector<Layer>& layers, const Painter& painter, const Target& target,
           const BridgingRules& rules)
      : layers_(layers), painter_(painter), target_(target), rules_(rules), looks_(fresh_looks()) {}

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
    for_each_block(layers_.size(), [&](std::size_t j) {
      measure(layers_[j], target_.grid);
      if (rules_.to_be_cut && layers_[j].stencil)
        layers_[j].stencil->stencil =
            make_stencil({layers_[j].open, asked_[j].least.bridges, 0}, target_.grid, rules_.stencil);
    });
    std::erase_if(layers_, [](const Layer& layer) { return layer.regions.empty(); });
  }

 private:
  [[nodiscard]] double piece_cm2() const {
    return static_cast<double>(target_.wanted.size()) * target_.grid.point_cm2();
  }

  [[nodiscard]] LayerLooks fresh_looks() const {
    const int across = WidthRule(rules_.stencil.smallest, target_.grid.pitch).diameter();
    return {layers_, painter_, target_, std::max(1, across / cells_across)};
  }

  // Cells where one of these layers lies cost as much as colours can differ more.
  void keep_off(CellCosts& cost, std::span<const std::size_t> layers) const {
    if (layers.empty())
      return;
    Image<float> costs = cost.costs();
    for (int y = 0; y < costs.height(); ++y) {
      for (int x = 0; x < costs.width(); ++x)
        costs.at(x, y) += cannot_close * static_cast<float>(lying_in(x, y, cost.cell(), layers));
    }
    cost = {std::move(costs), cost.cell()};
  }
  [[nodiscard]] int lying_in(int column, int row, int cell, std::span<const std::size_t> layers) const {
    int count = 0;
    for (const std::size_t i : layers) {
      bool lies = false;
      const Image<Amount>& amount = layers_[i].amount;
      for (int y = row * cell; y < std::min((row + 1) * cell, amount.height()); ++y) {
        for (int x = column * cell; x < std::min((column + 1) * cell, amount.width()); ++x)
          lies = lies || amount.at(x, y) != 0;
      }
      count += lies ? 1 : 0;
    }
    return count;
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
    CellCosts as_seen = looks_.cost_without(closed);
    const auto bridges = [&](BridgePlacement placement, const std::vector<Bridge>& staying = {}) {
      CellCosts cost = as_seen;
      keep_off(cost, in_the_way);
      return bridged(asked.open, cost, target_.grid, rules_.stencil, placement, staying);
    };
    // With the errors of the points themselves, as the layers are now.
    const auto seen = [&](BridgedMask found) {
      found.error_cm2 = looks_.rise_without(closed, points_closed(asked.open, found.open));
      return found;
    };
    BridgedMask shortest;
    for_each_block(rules_.to_be_cut ? 2 : 1, [&](std::size_t k) {
      if (k == 0)
        asked.least = bridges(BridgePlacement::least_error);
      else
        shortest = bridges(BridgePlacement::shortest);
    });
    if (rules_.to_be_cut)
      asked.shortest_error_cm2 = seen(std::move(shortest)).error_cm2;
    asked.least = seen(std::move(asked.least));
    do_without_islands(j, [&](const std::vector<cv::Point>& filled, const std::vector<Bridge>& staying) {
      looks_.bring_up_to_date(as_seen, closed, filled);
      return seen(bridges(BridgePlacement::least_error, staying));
    });
    const std::vector<cv::Point> points = points_closed(asked.open, asked.least.open);
    for (const std::size_t i : closed) {
      Laid gone = close(layers_[i], points);
      if (i == j)
        asked.closed = std::move(gone);
    }
    looks_.refresh(points);
  }

  // Powder over small islands, where that costs the picture less than the bridges that would hold them.
  template <class Placed>
  void do_without_islands(std::size_t j, const Placed& placed) {
    Asked& asked = asked_[j];
    const auto cost_of_opening = [&](const std::vector<cv::Point>& points) {
      const std::vector<Amount> amounts = amounts_beside(layers_[j], points);
      return amounts.empty() || !openable(j, points) ? never_open : looks_.rise_with(j, amounts, points);
    };
    const DroppedIslands dropped =
        islands_to_drop(asked.open, asked.least, cost_of_opening, target_.grid, rules_.stencil);
    if (dropped.islands.empty())
      return;
    const BitMask open_before = asked.open;
    BridgedMask least_before = std::move(asked.least);
    Laid filled;
    for (const std::vector<cv::Point>& points : dropped.islands) {
      const std::vector<Amount> amounts = amounts_beside(layers_[j], points);
      filled.points.insert(filled.points.end(), points.begin(), points.end());
      filled.amounts.insert(filled.amounts.end(), amounts.begin(), amounts.end());
    }
    lay(layers_[j], filled);
    looks_.refresh(filled.points);
    for (const cv::Point& p : filled.points)
      asked.open.set(p.x, p.y);
    asked.least = placed(filled.points, dropped.staying);
    asked.least.error_cm2 += dropped.cost_cm2;
    if (asked.least.error_cm2 < least_before.error_cm2)
      return;
    asked.open = open_before;
    asked.least = std::move(least_before);
    close(layers_[j], filled.points);
    looks_.refresh(filled.points);
  }

  // Whether closed points of the layer could be opened: the picture wants glass powder there, and no template
  // that comes later is laid flat on them while the powder is loose.
  [[nodiscard]] bool openable(std::size_t j, const std::vector<cv::Point>& points) const {
    const auto all = [&](const auto& test) { return std::all_of(points.begin(), points.end(), test); };
    if (!target_.bare.empty() && !all([&](cv::Point p) { return target_.bare.at(p.x, p.y) == 0; }))
      return false;
    for (std::size_t k = j + 1; k < std::min(layers_.size(), rules_.loose_below.size()); ++k) {
      const std::vector<std::size_t>& loose = rules_.loose_below[k];
      const BitMask& open = layers_[k].open;
      if (!open.empty() && std::find(loose.begin(), loose.end(), j) != loose.end() &&
          !all([&](cv::Point p) { return open.at(p.x, p.y); }))
        return false;
    }
    return true;
  }

  // What the layer would lay on closed points: what it lays beside them. Empty if there is nothing near.
  [[nodiscard]] std::vector<Amount> amounts_beside(const Layer& layer,
                                                   const std::vector<cv::Point>& points) const {
    const int reach = static_cast<int>(beside_mm / target_.grid.pitch.value());
    cv::Rect box = cv::boundingRect(points);
    box = cv::Rect(box.x - reach, box.y - reach, box.width + 2 * reach, box.height + 2 * reach) &
          cv::Rect(0, 0, layer.open.width(), layer.open.height());
    cv::Mat laid = cv::Mat::zeros(box.size(), CV_32F), open = laid.clone(), sum, share;
    for (int y = 0; y < box.height; ++y) {
      for (int x = 0; x < box.width; ++x) {
        if (!layer.open.at(box.x + x, box.y + y))
          continue;
        open.at<float>(y, x) = 1;
        laid.at<float>(y, x) = static_cast<float>(layer.amount.at(box.x + x, box.y + y));
      }
    }
    const cv::Size around(2 * reach + 1, 2 * reach + 1);
    cv::boxFilter(laid, sum, CV_32F, around, {-1, -1}, false, cv::BORDER_CONSTANT);
    cv::boxFilter(open, share, CV_32F, around, {-1, -1}, false, cv::BORDER_CONSTANT);
    std::vector<Amount> amounts;
    for (const cv::Point& p : points) {
      const float beside = share.at<float>(p - box.tl());
      if (beside <= 0.5F)
        return {};
      amounts.push_back(static_cast<Amount>(std::lround(sum.at<float>(p - box.tl()) / beside)));
    }
    return amounts;
  }

  // What the least of the layers is worth: rise of the mean colour difference without it.
  double least_worth() {
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t j = 0; j < layers_.size(); ++j) {
      const Image<float> cost = looks_.cost_without(std::array{j}).costs();
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
    const Layer before = layers_[j];
    // As it looks without bridges.
    lay(layers_[j], asked.closed);
    looks_.refresh(asked.closed.points);
    const CellCosts cost = looks_.cost_without(std::array{j});
    const auto error_of = [&](const BitMask& open) {
      return looks_.rise_without(std::array{j}, points_closed(asked.open, open));
    };
    BridgedMask held = asked.least;
    held.error_cm2 = error_of_closing(asked.open, held.open, cost, target_.grid);
    SplitMask parts = split_for_bridges(asked.open, held, cost, target_.grid, rules_.stencil);
    BitMask both = parts.first.open;
    both |= parts.second.open;
    const double error = error_of(both), gain = error_of(held.open) - error;

    Layer first = layers_[j], second = layers_[j];
    close(first, points_closed(asked.open, parts.first.open));
    close(second, points_closed(asked.open, parts.second.open));
    first.stencil->part = 1;
    second.stencil->part = 2;
    first.stencil->error_cm2 = error;
    second.stencil->error_cm2 = second.stencil->shortest_error_cm2 = 0;
    layers_[j] = std::move(first);
    layers_.insert(layers_.begin() + static_cast<std::ptrdiff_t>(j) + 1, std::move(second));
    if (gain / piece_cm2() < price || (rules_.may_be_split && !rules_.may_be_split(layers_))) {
      layers_.erase(layers_.begin() + static_cast<std::ptrdiff_t>(j) + 1);
      layers_[j] = before;
      looks_.refresh(asked.closed.points);
      return false;
    }
    looks_ = fresh_looks();
    asked_[j].least.bridges = std::move(parts.first.bridges);
    Asked added;
    added.least.bridges = std::move(parts.second.bridges);
    asked_.insert(asked_.begin() + static_cast<std::ptrdiff_t>(j) + 1, std::move(added));
    return true;
  }

  std::vector<Layer>& layers_;
  const Painter& painter_;
  const Target& target_;
  const BridgingRules& rules_;
  std::vector<Asked> asked_;
  LayerLooks looks_;
};

}  // namespace

void bridge_layers(std::vector<Layer>& layers, const Painter& painter, const Target& target,
                   const BridgingRules& rules) {
  Bridging(layers, painter, target, rules).run();
}

}  // namespace powderplan
