// What lies where: a label for every grid point, with the smallest width respected by every layer.
#pragma once

#include <cstdint>
#include <vector>

#include "separation/colour_index.h"
#include "separation/cost_table.h"
#include "separation/label_costs.h"
#include "separation/separation.h"
#include "separation/width_rule.h"

namespace powderplan {

// Every outline is to be cut, and shows as an edge: for each side of a point that a mask's outline grows, a
// change must gain this, in CIEDE2000 times points, times the diameter of the rule. So a strip of the
// smallest width must gain twice as much in CIEDE2000 to be worth its two edges.
inline constexpr double price_of_outline = 0.5;

// Minimises the summed cost of the labels and the price of their outlines, while the mask of each layer (all
// points where a powder has at least so many loads) obeys the width rule. The start gives each point the
// label that is best for its neighbourhood; then one layer after the other is improved with all others held,
// each change kept only where it lowers the cost and the rule still holds. (Large changes are weighed in
// tiles that count on their neighbours, so that the price of outlines is kept to within a little.)
class Labeller {
 public:
  // `held`: layers, in the order of the choice, that `improve` leaves as they are; empty: none.
  Labeller(const Choice& choice, const std::vector<Tones>& labels, std::vector<bool> held = {});

  // Labels from nothing. `index` gives each point's colour; `neighbourhood` is in grid points.
  [[nodiscard]] Image<std::uint16_t> first_guess(const Image<std::uint16_t>& colour_at,
                                                 const CostTable& costs, double neighbourhood) const;
  // The nearest map that obeys the rule: narrow parts are widened or given up by cost.
  [[nodiscard]] Image<std::uint16_t> settled(const Image<std::uint16_t>& label_at, const LabelCosts& costs,
                                             const WidthRule& rule) const;
  // One pass over all layers; returns the share of the points that changed. The map must obey the rule and
  // does so afterwards.
  double improve(Image<std::uint16_t>& label_at, const LabelCosts& costs, const WidthRule& rule) const;

  [[nodiscard]] bool obeys(const Image<std::uint16_t>& label_at, const WidthRule& rule) const;

 private:
  using Bits = std::uint64_t;
  static constexpr std::uint16_t no_label = 0xffff;
  // A layer as the labeller sees it: which labels have it, and which label each becomes with and without it.
  struct LayerMoves {
    std::vector<std::uint8_t> open;            // by label
    std::vector<std::uint16_t> with, without;  // no_label where there is none
  };
  [[nodiscard]] cv::Mat mask(const Image<std::uint16_t>& label_at, std::size_t layer) const;
  // `now`: what the labels of the map cost.
  [[nodiscard]] cv::Mat cost_of_opening(const Image<std::uint16_t>& label_at, const Image<float>& now,
                                        const LabelCosts& costs, std::size_t layer) const;
  // Gives the layer this mask, except where no label allows it; returns how many points changed.
  std::size_t apply(Image<std::uint16_t>& label_at, Image<float>& now, const LabelCosts& costs,
                    std::size_t layer, const cv::Mat& before, const cv::Mat& after) const;
  // The label of exactly these layers, or no_label.
  [[nodiscard]] std::uint16_t label_with(Bits bits) const;
  [[nodiscard]] std::uint16_t legal_label(Bits bits, const LabelCosts& costs, std::size_t point) const;
  [[nodiscard]] Image<std::uint16_t> legalised(std::vector<cv::Mat> masks, const LabelCosts& costs,
                                               const WidthRule& rule) const;

  std::vector<LayerMoves> layers_;
  std::vector<Bits> bits_of_;                             // by label: one bit a layer
  std::vector<std::pair<Bits, std::uint16_t>> label_of_;  // sorted by bits
  std::vector<std::vector<std::size_t>> nest_layers_;     // layers of each powder, largest opening first
  std::vector<bool> held_;
};

}  // namespace powderplan
