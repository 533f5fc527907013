#include "separation/labelling.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>

#include "parallel.h"
#include "separation/mask_repair.h"
#include "separation/separation.h"
#include "separation/tile_parts.h"

namespace powderplan {
namespace {

// Cost of a change that must not be: no picture makes up for it.
constexpr float forbidden = 1e4F, least_forbidden = 0.9F * forbidden;
// Neighbourhood averages see no more than this from a single point.
constexpr float most_averaged = 40.0F;
// A change must gain more than this to be made, against endless exchange of equals.
constexpr double least_gain = 1e-3;
// What a point must gain by opening for it to ask for that.
constexpr float least_wish = 1e-4F;
// Changes are weighed part by part, none larger than a tile of this many diameters, so that one bad end does
// not undo a good one.
constexpr int tile_diameters = 4;
// A strip is so many tiles high, and sees so many diameters beyond: what discs that touch it reach, and what
// its averages take in.
constexpr int tiles_of_strip = 4;
constexpr int margin_diameters = 3;
// The first guess is made so many rows at a time.
constexpr int rows_of_guess = 64;

int tile_of(const WidthRule& rule) {
  return std::min(tile_diameters * rule.diameter(), largest_tile);
}
int margin_of(const WidthRule& rule) {
  return margin_diameters * rule.diameter() + 1;
}
int strip_of(const WidthRule& rule) {
  const int tile = tile_of(rule);
  return tile * std::max(tiles_of_strip, (margin_of(rule) + tile - 1) / tile);
}

// How much longer the outline of a mask becomes, in sides of points, when this part flips and the others that
// are `changed` do not. A neighbour that flips too is of the same part, but for parts cut into tiles.
int outline_added(const BitMask& mask, const BitMask& changed, const TilePart& part) {
  using Word = BitMask::Word;
  // Words of a tile with one more point on each side.
  struct Row {
    Word now, held;  // held: on the mask, and does not flip
  };
  const Word there = BitMask(mask.width(), 1, true).bits(part.left - 1, 0, BitMask::word_bits);
  const auto row_at = [&](int y) {
    if (y < 0 || y >= mask.height())
      return Row{0, 0};
    return Row{mask.bits(part.left - 1, y, BitMask::word_bits),
               there & ~changed.bits(part.left - 1, y, BitMask::word_bits)};
  };
  int added = 0;
  const auto count = [&](Word neighbours, Word alike) {
    added += std::popcount(neighbours & alike) - std::popcount(neighbours & ~alike);
  };
  Row above = row_at(part.top + part.first - 1), here = row_at(part.top + part.first);
  for (int k = part.first; k < part.end; ++k) {
    const Row below = row_at(part.top + k + 1);
    const Word flips = part.rows[static_cast<std::size_t>(k)] << 1;
    count(flips & above.held, ~(here.now ^ above.now));
    count(flips & below.held, ~(here.now ^ below.now));
    count(flips << 1 & here.held, ~(here.now ^ here.now << 1));
    count(flips >> 1 & here.held, ~(here.now ^ here.now >> 1));
    above = here;
    here = below;
  }
  return added;
}

struct Rows {
  int begin, end;
};

// The incumbent with those parts of the candidate's changes in the rows `core` that lower the cost and keep
// the rule.
BitMask fused(const BitMask& incumbent, const BitMask& candidate, const Image<float>& cost_of_opening,
              const WidthRule& rule, const Rows& core) {
  BitMask changed = candidate;
  (changed ^= incumbent).keep_rows(core.begin, core.end);
  if (!changed.any())
    return incumbent;
  BitMask result = incumbent;
  std::vector<TilePart> kept;
  const auto flip = [&](const TilePart& part) {
    for (int k = part.first; k < part.end; ++k)
      result.flip(part.left, part.top + k, part.rows[static_cast<std::size_t>(k)]);
  };
  const double price = price_of_outline * rule.diameter();
  for_each_part(changed, tile_of(rule), core.begin, core.end, [&](const TilePart& part) {
    // A part that would make even one forbidden change is never kept, however much the rest of it gains.
    double gain = 0;
    float worst = 0;
    part.for_each([&](int x, int y) {
      const float cost = cost_of_opening.at(x, y);
      const float saved = incumbent.at(x, y) ? cost : -cost;
      gain += static_cast<double>(saved);
      worst = std::min(worst, saved);
    });
    if (worst > -least_forbidden && gain - price * outline_added(incumbent, changed, part) > least_gain)
      kept.push_back(part);
  });
  for (const TilePart& part : kept)
    flip(part);
  // Changes near what has become too narrow are taken back, until nothing is. Only near the strip can
  // anything have become so; at the window's edge things seem narrow that are not.
  for (;;) {
    BitMask broken = rule.narrow_openings(result);
    broken |= rule.narrow_webs(result);
    broken.keep_rows(std::max(0, core.begin - rule.diameter()),
                     std::min(broken.height(), core.end + rule.diameter()));
    if (!broken.any())
      return result;
    const BitMask near = grown(broken, rule.diameter());
    const auto is_near = [&](const TilePart& part) {
      for (int k = part.first; k < part.end; ++k) {
        if ((part.rows[static_cast<std::size_t>(k)] &
             near.bits(part.left, part.top + k, BitMask::word_bits)) != 0)
          return true;
      }
      return false;
    };
    const auto dropped =
        std::stable_partition(kept.begin(), kept.end(), [&](const TilePart& p) { return !is_near(p); });
    if (dropped == kept.end())
      return incumbent;
    std::for_each(dropped, kept.end(), flip);
    kept.erase(dropped, kept.end());
  }
}

// Where opening costs less than `limit`.
BitMask cheaper_than(float limit, const Image<float>& cost) {
  return BitMask::where(cost.width(), cost.height(), [&](int y) {
    return [limit, from = cost.row(y)](int x) { return from[x] < limit; };
  });
}

cv::Mat bounded(const Image<float>& cost) {
  cv::Mat out(cost.height(), cost.width(), CV_32F);
  for (int y = 0; y < cost.height(); ++y) {
    const float* from = cost.row(y);
    auto* to = out.ptr<float>(y);
    for (int x = 0; x < cost.width(); ++x)
      to[x] = std::min(std::max(from[x], -most_averaged), most_averaged);
  }
  return out;
}

BitMask averaged_wish(const cv::Mat& bounded, double neighbourhood) {
  cv::Mat mean;
  cv::GaussianBlur(bounded, mean, {}, neighbourhood, neighbourhood, cv::BORDER_REPLICATE);
  return BitMask(mean < -least_wish);
}

}  // namespace

struct Labeller::Window {
  Window(const Image<std::uint16_t>& label_at, const LabelCosts& costs, const Strip& own)
      : strip(own),
        labels(label_at.width(), own.rows()),
        now(label_at.width(), own.rows()),
        cost(label_at.width(), own.rows()) {
    std::copy_n(label_at.row(own.top), labels.size(), labels.data());
    costs.along(first_point(0), labels.size(), labels.data(), now.data());
  }
  // The place in the map where a row of the window begins.
  [[nodiscard]] std::size_t first_point(int row) const {
    return static_cast<std::size_t>(strip.top + row) * static_cast<std::size_t>(labels.width());
  }
  [[nodiscard]] Rows core() const { return {strip.begin - strip.top, strip.end - strip.top}; }
  void write_back(Image<std::uint16_t>& label_at) const {
    const auto [begin, end] = core();
    std::copy(labels.row(begin),
              labels.row(begin) + static_cast<std::ptrdiff_t>(end - begin) * labels.width(),
              label_at.row(strip.begin));
  }

  Strip strip;
  Image<std::uint16_t> labels;
  Image<float> now;   // what they cost
  Image<float> cost;  // of opening the layer at hand
};

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
  Image<std::uint16_t> label_at(colour_at.width(), colour_at.height());
  const auto width = static_cast<std::size_t>(colour_at.width());
  const int margin = static_cast<int>(std::ceil(3 * neighbourhood));
  const int bands = (colour_at.height() + rows_of_guess - 1) / rows_of_guess;
  for_each_block(static_cast<std::size_t>(bands), [&](std::size_t band) {
    const int begin = static_cast<int>(band) * rows_of_guess;
    const int end = std::min(colour_at.height(), begin + rows_of_guess);
    const int top = std::max(0, begin - margin), bottom = std::min(colour_at.height(), end + margin);
    cv::Mat plain(bottom - top, colour_at.width(), CV_16U), mean;
    const std::uint16_t* colours = colour_at.row(top);
    std::vector<std::uint16_t> least(static_cast<std::size_t>(end - begin) * width, 0xffff);
    for (std::size_t label = 0; label < wins.size(); ++label) {
      if (!wins[label])
        continue;
      auto* to = plain.ptr<std::uint16_t>();
      for (std::size_t p = 0; p < plain.total(); ++p)
        to[p] = static_cast<std::uint16_t>(std::min(costs.row(colours[p])[label], most_averaged) * 1000.0F);
      cv::GaussianBlur(plain, mean, {}, neighbourhood, neighbourhood, cv::BORDER_REPLICATE);
      const auto* now = mean.ptr<std::uint16_t>(begin - top);
      std::uint16_t* best = label_at.row(begin);
      for (std::size_t p = 0; p < least.size(); ++p) {
        if (now[p] < least[p]) {
          least[p] = now[p];
          best[p] = static_cast<std::uint16_t>(label);
        }
      }
    }
  });
  return label_at;
}

BitMask Labeller::mask(const Image<std::uint16_t>& label_at, std::size_t layer) const {
  return points_labelled(label_at, layers_[layer].open);
}

void Labeller::find_cost_of_opening(Window& window, const LabelCosts& costs, std::size_t layer,
                                    const BitMask& before, int reach) const {
  const LayerMoves& moves = layers_[layer];
  const int width = window.labels.width();
  // What each label becomes when its point flips; itself where it cannot.
  std::vector<std::uint16_t> other(moves.open.size());
  std::vector<float> sign(other.size()), otherwise(other.size(), 0);
  for (std::size_t i = 0; i < other.size(); ++i) {
    other[i] = moves.open[i] != 0 ? moves.without[i] : moves.with[i];
    sign[i] = moves.open[i] != 0 ? -1.0F : 1.0F;
    if (other[i] == no_label) {
      other[i] = static_cast<std::uint16_t>(i);
      otherwise[i] = sign[i] * forbidden;
    }
  }
  // Far from every outline nothing is asked.
  const bool all = reach == anywhere;
  BitMask near;
  if (!all) {
    near = grown(before, reach);
    near.remove(grown(before.inverted(), reach).inverted());
  }
  std::vector<std::uint16_t> flipped(static_cast<std::size_t>(width));
  for (int y = 0; y < window.labels.height(); ++y) {
    const std::uint16_t* labels = window.labels.row(y);
    const float* now = window.now.row(y);
    float* cost = window.cost.row(y);
    const auto look_at = [&](int begin, int end) {
      for (int x = begin; x < end; ++x)
        flipped[static_cast<std::size_t>(x)] = other[labels[x]];
      const auto first = static_cast<std::size_t>(begin);
      costs.along(window.first_point(y) + first, static_cast<std::size_t>(end - begin),
                  flipped.data() + first, cost + first);
      for (int x = begin; x < end; ++x)
        cost[x] = sign[labels[x]] * (cost[x] - now[x]) + otherwise[labels[x]];
    };
    if (all) {
      look_at(0, width);
      continue;
    }
    for (int x = 0; x < width;) {
      const int end = std::min(width, x + BitMask::word_bits);
      if (near.row(y)[x / BitMask::word_bits] != 0) {
        look_at(x, end);
      } else {
        for (int at = x; at < end; ++at)
          cost[at] = sign[labels[at]] * forbidden;
      }
      x = end;
    }
  }
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

void Labeller::legalise(Image<std::uint16_t>& label_at, const LabelCosts& costs,
                        const WidthRule& rule) const {
  // Only ever taken away from, so this ends.
  for (;;) {
    std::vector<BitMask> masks(layers_.size()), lost(layers_.size());
    for_each_block(masks.size(), [&](std::size_t l) {
      lost[l] = mask(label_at, l);
      masks[l] = rule.shrunk_to_rule(lost[l]);
      lost[l].remove(masks[l]);
    });
    BitMask changed(label_at.width(), label_at.height());
    for (const BitMask& of_layer : lost)
      changed |= of_layer;
    if (!changed.any())
      return;
    changed.for_each([&](int x, int y) {
      Bits bits = 0;
      for (std::size_t l = 0; l < masks.size(); ++l)
        bits |= Bits{masks[l].at(x, y)} << l;
      const std::size_t point = static_cast<std::size_t>(y) * static_cast<std::size_t>(label_at.width()) +
                                static_cast<std::size_t>(x);
      label_at[point] = legal_label(bits, costs, point);
    });
  }
}

void Labeller::settle_strip(Image<std::uint16_t>& label_at, const LabelCosts& costs, const WidthRule& rule,
                            const Strip& strip) const {
  Window window(label_at, costs, strip);
  // One layer after the other, each seeing what the ones before have become.
  for (std::size_t l = 0; l < layers_.size(); ++l) {
    const BitMask before = mask(window.labels, l);
    if (rule.obeyed_by(before))
      continue;
    find_cost_of_opening(window, costs, l, before, 2 * rule.diameter());
    apply(window, costs, l, repaired(before, window.cost, rule) ^= before);
  }
  window.write_back(label_at);
}

Image<std::uint16_t> Labeller::settled(Image<std::uint16_t> label_at, const LabelCosts& costs,
                                       const WidthRule& rule) const {
  if (layers_.empty())
    return label_at;
  for_each_strip(label_at.height(), strip_of(rule), margin_of(rule),
                 [&](const Strip& strip) { settle_strip(label_at, costs, rule, strip); });
  legalise(label_at, costs, rule);
  return label_at;
}

std::size_t Labeller::apply(Window& window, const LabelCosts& costs, std::size_t layer,
                            const BitMask& changed) const {
  const LayerMoves& moves = layers_[layer];
  std::size_t count = 0;
  changed.for_each([&](int x, int y) {
    std::uint16_t& label = window.labels.at(x, y);
    const std::uint16_t other = moves.open[label] != 0 ? moves.without[label] : moves.with[label];
    if (other == no_label)
      return;
    label = other;
    window.now.at(x, y) = costs.at(window.first_point(y) + static_cast<std::size_t>(x), label);
    ++count;
  });
  return count;
}

std::size_t Labeller::improve_strip(Image<std::uint16_t>& label_at, const LabelCosts& costs,
                                    const WidthRule& rule, const Strip& strip, int reach) const {
  std::size_t points_changed = 0;
  Window window(label_at, costs, strip);
  for (std::size_t l = 0; l < layers_.size(); ++l) {
    if (l < held_.size() && held_[l])
      continue;
    const BitMask before = mask(window.labels, l);
    find_cost_of_opening(window, costs, l, before, reach);
    // What the costs ask for point by point, and for neighbourhoods of two sizes.
    const BitMask wish = cheaper_than(-least_wish, window.cost);
    const BitMask must = cheaper_than(-least_forbidden, window.cost);
    const BitMask may = cheaper_than(least_forbidden, window.cost);
    const cv::Mat averages = bounded(window.cost);
    const double d = rule.diameter();
    BitMask best = before;
    for (const double neighbourhood : {0.0, d / 5, d / 2.5}) {
      BitMask asked = neighbourhood > 0 ? averaged_wish(averages, neighbourhood) : wish;
      (asked |= must) &= may;
      best = fused(best, repaired(std::move(asked), window.cost, rule), window.cost, rule, window.core());
    }
    points_changed += apply(window, costs, l, best ^= before);
  }
  window.write_back(label_at);
  return points_changed;
}

double Labeller::improve(Image<std::uint16_t>& label_at, const LabelCosts& costs, const WidthRule& rule,
                         int reach) const {
  const int across = strip_of(rule);
  std::vector<std::size_t> changed(static_cast<std::size_t>((label_at.height() + across - 1) / across));
  for_each_strip(label_at.height(), across, margin_of(rule), [&](const Strip& strip) {
    changed[static_cast<std::size_t>(strip.begin / across)] =
        improve_strip(label_at, costs, rule, strip, reach);
  });
  std::size_t points_changed = 0;
  for (const std::size_t points : changed)
    points_changed += points;
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
