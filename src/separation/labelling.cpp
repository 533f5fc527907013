#include "separation/labelling.h"

#include <algorithm>
#include <limits>
#include <opencv2/imgproc.hpp>
#include <span>

#include "parallel.h"
#include "separation/mask_parts.h"
#include "separation/mask_repair.h"

namespace powderplan {
namespace {

// Cost of a change that must not be: no picture makes up for it.
constexpr float forbidden = 1e4F;
// Neighbourhood averages see no more than this from a single point.
constexpr float most_averaged = 40.0F;
// A change must gain more than this to be made, against endless exchange of equals.
constexpr double least_gain = 1e-3;
// Changes are weighed part by part, none larger than a tile of this many diameters, so that one bad end does
// not undo a good one.
constexpr int tile_diameters = 4;

// How much longer the outline of a mask becomes, in sides of points, when these points flip and the others
// that are `changed` do not.
int outline_added(const cv::Mat& mask, const cv::Mat& changed, std::span<const std::uint32_t> points) {
  const auto* now = mask.ptr<std::uint8_t>();
  const auto* flips = changed.ptr<std::uint8_t>();
  const auto width = static_cast<std::uint32_t>(mask.cols), height = static_cast<std::uint32_t>(mask.rows);
  int added = 0;
  for (const std::uint32_t p : points) {
    const std::uint32_t x = p % width, y = p / width;
    // A neighbour that flips too is of the same part, but for parts cut into tiles.
    const auto side = [&](std::uint32_t q) {
      if (flips[q] == 0)
        added += now[p] == now[q] ? 1 : -1;
    };
    if (x > 0)
      side(p - 1);
    if (x + 1 < width)
      side(p + 1);
    if (y > 0)
      side(p - width);
    if (y + 1 < height)
      side(p + width);
  }
  return added;
}

// The incumbent with those parts of the candidate's changes that lower the cost and keep the rule.
cv::Mat fused(const cv::Mat& incumbent, const cv::Mat& candidate, const cv::Mat& cost_of_opening,
              const WidthRule& rule) {
  cv::Mat changed;
  cv::bitwise_xor(incumbent, candidate, changed);
  const MaskParts parts = parts_of(changed, tile_diameters * rule.diameter());
  const auto* now = incumbent.ptr<std::uint8_t>();
  const auto* cost = cost_of_opening.ptr<float>();
  // A part that would make even one forbidden change is never kept, however much the rest of it gains.
  std::vector<bool> kept(parts.count());
  const double price = price_of_outline * rule.diameter();
  for (std::size_t part = 0; part < parts.count(); ++part) {
    double gain = 0;
    bool allowed = true;
    for (const std::uint32_t point : parts.points_of(part)) {
      const double saved = now[point] != 0 ? cost[point] : -cost[point];
      gain += saved;
      allowed = allowed && saved > -forbidden;
    }
    gain -= price * outline_added(incumbent, changed, parts.points_of(part));
    kept[part] = allowed && gain > least_gain;
  }
  cv::Mat result = incumbent.clone();
  auto* to = result.ptr<std::uint8_t>();
  const auto flip = [&](std::size_t part) {
    for (const std::uint32_t point : parts.points_of(part))
      to[point] ^= 1;
  };
  for (std::size_t part = 0; part < parts.count(); ++part) {
    if (kept[part])
      flip(part);
  }
  // Changes near what has become too narrow are taken back, until nothing is.
  for (;;) {
    const cv::Mat broken = rule.narrow_openings(result) + rule.narrow_webs(result);
    if (cv::countNonZero(broken) == 0)
      return result;
    cv::Mat near;
    const int reach = 2 * rule.diameter() + 1;
    cv::dilate(broken, near, cv::Mat::ones(reach, reach, CV_8U));
    const auto* bad = near.ptr<std::uint8_t>();
    bool dropped = false;
    for (std::size_t part = 0; part < parts.count(); ++part) {
      const auto points = parts.points_of(part);
      if (kept[part] &&
          std::any_of(points.begin(), points.end(), [&](std::uint32_t p) { return bad[p] != 0; })) {
        kept[part] = false;
        dropped = true;
        flip(part);
      }
    }
    if (!dropped)
      return incumbent;
  }
}

Image<float> costs_of_map(const Image<std::uint16_t>& label_at, const LabelCosts& costs) {
  Image<float> now(label_at.width(), label_at.height());
  for_each_row_band(label_at.height(), [&](int begin, int end) {
    const auto width = static_cast<std::size_t>(label_at.width());
    for (std::size_t i = static_cast<std::size_t>(begin) * width; i < static_cast<std::size_t>(end) * width;
         ++i)
      now[i] = costs.at(i, label_at[i]);
  });
  return now;
}

}  // namespace

Labeller::Labeller(const Choice& choice, const std::vector<Tones>& labels, std::vector<bool> held)
    : held_(std::move(held)) {
  std::size_t layer = 0;
  for (const Nest& nest : choice) {
    nest_layers_.emplace_back();
    for (std::size_t step = 0; step < nest.steps.size(); ++step)
      nest_layers_.back().push_back(layer++);
  }
  for (std::size_t i = 0; i < labels.size(); ++i) {
    Bits bits = 0;
    for (std::size_t p = 0; p < choice.size(); ++p) {
      for (std::size_t step = 0; step < labels[i][p]; ++step)
        bits |= Bits{1} << nest_layers_[p][step];
    }
    bits_of_.push_back(bits);
    label_of_.emplace_back(bits, static_cast<std::uint16_t>(i));
  }
  std::sort(label_of_.begin(), label_of_.end());
  layers_.resize(layer);
  for (std::size_t l = 0; l < layers_.size(); ++l) {
    const Bits bit = Bits{1} << l;
    for (const Bits bits : bits_of_) {
      layers_[l].open.push_back((bits & bit) != 0);
      layers_[l].with.push_back(label_with(bits | bit));
      layers_[l].without.push_back(label_with(bits & ~bit));
    }
  }
}

Image<std::uint16_t> Labeller::first_guess(const Image<std::uint16_t>& colour_at, const CostTable& costs,
                                           double neighbourhood) const {
  // Labels that are the best for no colour are left out; a sparse look finds every colour that matters.
  constexpr std::size_t sparse = 7;
  std::vector<bool> wins(costs.labels(), false);
  for (std::size_t i = 0; i < colour_at.size(); i += sparse) {
    const float* row = costs.row(colour_at[i]);
    wins[static_cast<std::size_t>(std::min_element(row, row + costs.labels()) - row)] = true;
  }
  std::vector<std::uint16_t> tried;
  for (std::size_t i = 0; i < wins.size(); ++i) {
    if (wins[i])
      tried.push_back(static_cast<std::uint16_t>(i));
  }
  struct Best {
    cv::Mat cost;
    Image<std::uint16_t> label;
  };
  constexpr std::size_t blocks = 8;
  std::vector<Best> best(blocks);
  for_each_block(blocks, [&](std::size_t b) {
    cv::Mat plain(colour_at.height(), colour_at.width(), CV_32F), mean;
    best[b].cost = cv::Mat(plain.size(), CV_32F, cv::Scalar(std::numeric_limits<float>::max()));
    best[b].label = Image<std::uint16_t>(colour_at.width(), colour_at.height());
    for (std::size_t i = b; i < tried.size(); i += blocks) {
      auto* to = plain.ptr<float>();
      for (std::size_t p = 0; p < colour_at.size(); ++p)
        to[p] = std::min(costs.row(colour_at[p])[tried[i]], most_averaged);
      cv::GaussianBlur(plain, mean, {}, neighbourhood, neighbourhood, cv::BORDER_REPLICATE);
      auto* least = best[b].cost.ptr<float>();
      const auto* now = mean.ptr<float>();
      for (std::size_t p = 0; p < colour_at.size(); ++p) {
        if (now[p] < least[p]) {
          least[p] = now[p];
          best[b].label[p] = tried[i];
        }
      }
    }
  });
  Image<std::uint16_t> label_at = best[0].label;
  for (std::size_t p = 0; p < label_at.size(); ++p) {
    std::size_t winner = 0;
    for (std::size_t b = 1; b < blocks; ++b) {
      if (best[b].cost.ptr<float>()[p] < best[winner].cost.ptr<float>()[p])
        winner = b;
    }
    label_at[p] = best[winner].label[p];
  }
  return label_at;
}

cv::Mat Labeller::mask(const Image<std::uint16_t>& label_at, std::size_t layer) const {
  cv::Mat out(label_at.height(), label_at.width(), CV_8U);
  const std::vector<std::uint8_t>& open = layers_[layer].open;
  for (std::size_t i = 0; i < label_at.size(); ++i)
    out.data[i] = open[label_at[i]];
  return out;
}

cv::Mat Labeller::cost_of_opening(const Image<std::uint16_t>& label_at, const Image<float>& now,
                                  const LabelCosts& costs, std::size_t layer) const {
  cv::Mat out(label_at.height(), label_at.width(), CV_32F);
  const LayerMoves& moves = layers_[layer];
  for_each_row_band(label_at.height(), [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      auto* to = out.ptr<float>(y);
      std::size_t point = static_cast<std::size_t>(y) * static_cast<std::size_t>(label_at.width());
      for (int x = 0; x < label_at.width(); ++x, ++point) {
        const std::uint16_t label = label_at[point];
        const std::uint16_t with = moves.with[label], without = moves.without[label];
        if (with == no_label)
          to[x] = forbidden;
        else if (without == no_label)
          to[x] = -forbidden;
        else
          to[x] = (with == label ? now[point] : costs.at(point, with)) -
                  (without == label ? now[point] : costs.at(point, without));
      }
    }
  });
  return out;
}

std::uint16_t Labeller::label_with(Bits bits) const {
  const auto at = std::lower_bound(label_of_.begin(), label_of_.end(), std::pair{bits, std::uint16_t{0}});
  return at != label_of_.end() && at->first == bits ? at->second : no_label;
}

std::uint16_t Labeller::legal_label(Bits bits, const LabelCosts& costs, std::size_t point) const {
  // A heavier tone lies only where the lighter one does.
  for (const std::vector<std::size_t>& layers : nest_layers_) {
    bool open = true;
    for (const std::size_t layer : layers) {
      open = open && (bits >> layer & 1) != 0;
      if (!open)
        bits &= ~(Bits{1} << layer);
    }
  }
  for (;;) {
    if (const std::uint16_t label = label_with(bits); label != no_label)
      return label;
    // Too many powders: the one goes whose absence costs least, or the topmost while still more must go.
    Bits leanest = 0;
    float least = std::numeric_limits<float>::max();
    for (const std::vector<std::size_t>& layers : nest_layers_) {
      // Less of the nest, by one layer more each time.
      Bits without = bits;
      for (auto layer = layers.rbegin(); layer != layers.rend(); ++layer) {
        if ((without >> *layer & 1) == 0)
          continue;
        without &= ~(Bits{1} << *layer);
        const std::uint16_t label = label_with(without);
        // While no label is to be had so, a nest goes as a whole.
        if (label == no_label && layer + 1 != layers.rend())
          continue;
        const float price = label != no_label ? costs.at(point, label) : forbidden;
        if (price < least) {
          least = price;
          leanest = without;
        }
      }
    }
    bits = leanest;
  }
}

Image<std::uint16_t> Labeller::legalised(std::vector<cv::Mat> masks, const LabelCosts& costs,
                                         const WidthRule& rule) const {
  Image<std::uint16_t> label_at(masks[0].cols, masks[0].rows);
  // Only ever taken away from, so this ends.
  for (;;) {
    for_each_row_band(label_at.height(), [&](int begin, int end) {
      for (int y = begin; y < end; ++y) {
        for (int x = 0; x < label_at.width(); ++x) {
          Bits bits = 0;
          for (std::size_t l = 0; l < masks.size(); ++l)
            bits |= Bits{masks[l].at<std::uint8_t>(y, x)} << l;
          label_at.at(x, y) =
              legal_label(bits, costs,
                          static_cast<std::size_t>(y) * static_cast<std::size_t>(label_at.width()) +
                              static_cast<std::size_t>(x));
        }
      }
    });
    std::vector<std::uint8_t> changed(masks.size());
    for_each_block(masks.size(), [&](std::size_t l) {
      const cv::Mat legal = mask(label_at, l);
      masks[l] = rule.shrunk_to_rule(legal);
      changed[l] = cv::countNonZero(legal != masks[l]) != 0;
    });
    if (std::none_of(changed.begin(), changed.end(), [](std::uint8_t c) { return c != 0; }))
      return label_at;
  }
}

Image<std::uint16_t> Labeller::settled(const Image<std::uint16_t>& label_at, const LabelCosts& costs,
                                       const WidthRule& rule) const {
  if (layers_.empty())
    return label_at;
  // One layer after the other, each seeing what the ones before have become.
  Image<std::uint16_t> labels = label_at;
  Image<float> now = costs_of_map(labels, costs);
  for (std::size_t l = 0; l < layers_.size(); ++l) {
    const cv::Mat before = mask(labels, l);
    apply(labels, now, costs, l, before, repaired(before, cost_of_opening(labels, now, costs, l), rule));
  }
  std::vector<cv::Mat> masks(layers_.size());
  for_each_block(layers_.size(), [&](std::size_t l) { masks[l] = mask(labels, l); });
  return legalised(std::move(masks), costs, rule);
}

std::size_t Labeller::apply(Image<std::uint16_t>& label_at, Image<float>& now, const LabelCosts& costs,
                            std::size_t layer, const cv::Mat& before, const cv::Mat& after) const {
  const LayerMoves& moves = layers_[layer];
  std::size_t changed = 0;
  for (std::size_t i = 0; i < label_at.size(); ++i) {
    if (after.data[i] == before.data[i])
      continue;
    const std::uint16_t label = after.data[i] != 0 ? moves.with[label_at[i]] : moves.without[label_at[i]];
    if (label == no_label)
      continue;
    label_at[i] = label;
    now[i] = costs.at(i, label);
    ++changed;
  }
  return changed;
}

double Labeller::improve(Image<std::uint16_t>& label_at, const LabelCosts& costs,
                         const WidthRule& rule) const {
  std::size_t points_changed = 0;
  Image<float> now = costs_of_map(label_at, costs);
  for (std::size_t l = 0; l < layers_.size(); ++l) {
    if (l < held_.size() && held_[l])
      continue;
    const cv::Mat cost = cost_of_opening(label_at, now, costs, l);
    const cv::Mat before = mask(label_at, l);
    cv::Mat bounded;
    cv::max(cost, -most_averaged, bounded);
    cv::min(bounded, most_averaged, bounded);
    // What the costs ask for point by point, and for neighbourhoods of two sizes.
    const double d = rule.diameter();
    const std::vector<double> neighbourhoods{0.0, d / 5, d / 2.5};
    std::vector<cv::Mat> candidates(neighbourhoods.size());
    for_each_block(candidates.size(), [&](std::size_t i) {
      cv::Mat asked;
      if (neighbourhoods[i] > 0)
        cv::GaussianBlur(bounded, asked, {}, neighbourhoods[i], neighbourhoods[i], cv::BORDER_REPLICATE);
      else
        asked = bounded;
      cv::Mat wish;
      cv::threshold(asked, wish, -1e-4, 1, cv::THRESH_BINARY_INV);
      wish.convertTo(wish, CV_8U);
      wish.setTo(1, cost <= -forbidden);
      wish.setTo(0, cost >= forbidden);
      candidates[i] = repaired(wish, cost, rule);
    });
    cv::Mat best = before;
    for (const cv::Mat& candidate : candidates)
      best = fused(best, candidate, cost, rule);
    points_changed += apply(label_at, now, costs, l, before, best);
  }
  return static_cast<double>(points_changed) / static_cast<double>(label_at.size());
}

bool Labeller::obeys(const Image<std::uint16_t>& label_at, const WidthRule& rule) const {
  for (std::size_t l = 0; l < layers_.size(); ++l) {
    if (!rule.obeyed_by(mask(label_at, l)))
      return false;
  }
  return true;
}

}  // namespace powderplan
