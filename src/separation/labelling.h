// What lies where: a label for every grid point, with the smallest width respected by every layer.
#pragma once

#include <cstdint>
#include <vector>

#include "separation/colour_index.h"
#include "separation/cost_table.h"
#include "separation/label_costs.h"
#include "separation/map_strips.h"
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
//
// The map is worked on in strips (map_strips.h), all layers of one before the next: a strip and what it needs
// fit in a core's cache, and every other strip can be done at the same time.
class Labeller {
 public:
  // `held`: layers, in the order of the choice, that `improve` leaves as they are; empty: none.
  Labeller(const Choice& choice, const std::vector<Tones>& labels, std::vector<bool> held = {});

  // Labels from nothing. `index` gives each point's colour; `neighbourhood` is in grid points.
  [[nodiscard]] Image<std::uint16_t> first_guess(const Image<std::uint16_t>& colour_at,
                                                 const CostTable& costs, double neighbourhood) const;
  // The nearest map that obeys the rule: narrow parts are widened or given up by cost.
  [[nodiscard]] Image<std::uint16_t> settled(Image<std::uint16_t> label_at, const LabelCosts& costs,
                                             const WidthRule& rule) const;
  // One pass over all layers; returns the share of the points that changed. The map must obey the rule and
  // does so afterwards. Only points at most `reach` from an outline of the layer may change.
  double improve(Image<std::uint16_t>& label_at, const LabelCosts& costs, const WidthRule& rule,
                 int reach = anywhere) const;
  static constexpr int anywhere = 1 << 20;

  [[nodiscard]] bool obeys(const Image<std::uint16_t>& label_at, const WidthRule& rule) const;

 private:
  using Bits = std::uint64_t;
  static constexpr std::uint16_t no_label = 0xffff;
  // A layer as the labeller sees it: which labels have it, and which label each becomes with and without it.
  struct LayerMoves {
    std::vector<std::uint8_t> open;            // by label
    std::vector<std::uint16_t> with, without;  // no_label where there is none
  };
  // Rows of the map with what their labels cost.
  struct Window;
  [[nodiscard]] BitMask mask(const Image<std::uint16_t>& label_at, std::size_t layer) const;
  // What opening the layer costs where `asked`; elsewhere so much that it stays as it is.
  void find_cost_of_opening(Window& window, const LabelCosts& costs, std::size_t layer, const BitMask& before,
                            int reach) const;
  // Gives the layer this mask, except where no label allows it; returns how many points changed.
  std::size_t apply(Window& window, const LabelCosts& costs, std::size_t layer, const BitMask& changed) const;
  std::size_t improve_strip(Image<std::uint16_t>& label_at, const LabelCosts& costs, const WidthRule& rule,
                            const Strip& strip, int reach) const;
  void settle_strip(Image<std::uint16_t>& label_at, const LabelCosts& costs, const WidthRule& rule,
                    const Strip& strip) const;
  // The label of exactly these layers, or no_label.
  [[nodiscard]] std::uint16_t label_with(Bits bits) const;
  [[nodiscard]] std::uint16_t legal_label(Bits bits, const LabelCosts& costs, std::size_t point) const;
  void legalise(Image<std::uint16_t>& label_at, const LabelCosts& costs, const WidthRule& rule) const;

  std::vector<LayerMoves> layers_;
  std::vector<Bits> bits_of_;                             // by label: one bit a layer
  std::vector<std::pair<Bits, std::uint16_t>> label_of_;  // sorted by bits
  std::vector<std::vector<std::size_t>> nest_layers_;     // layers of each powder, largest opening first
  std::vector<bool> held_;
};

}  // namespace powderplan
