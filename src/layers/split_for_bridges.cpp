#include "layers/split_for_bridges.h"

#include <utility>

#include "separation/disc_sweep.h"
#include "separation/width_rule.h"

namespace powderplan {
namespace {

// All discs of the rule's diameter that lie in the mask and on at least one of the points. As in the rule,
// all is open beyond the piece's edge.
BitMask discs_round(const BitMask& points, const BitMask& mask, const WidthRule& rule) {
  const int diameter = rule.diameter();
  const cv::Rect wide(-diameter, -diameter, mask.width() + 2 * diameter, mask.height() + 2 * diameter);
  BitMask places = places_of_disc(mask.cut_out(wide, true), diameter);
  places &= discs_touching(points.cut_out(wide), diameter);
  BitMask discs =
      covered_by_discs(places, diameter).cut_out({diameter, diameter, mask.width(), mask.height()});
  return discs &= mask;
}

BitMask difference_of(BitMask mask, const BitMask& other) {
  return mask.remove(other);
}
BitMask both_of(BitMask mask, const BitMask& other) {
  return mask |= other;
}

}  // namespace

SplitMask split_for_bridges(const BitMask& mask, const BridgedMask& bridges, const CellCosts& cost_of_closing,
                            const Grid& grid, const StencilRules& rules) {
  SplitMask best{bridges, {BitMask(mask.width(), mask.height()), {}, 0}, bridges.error_cm2};
  if (mask.empty())
    return best;
  const WidthRule rule(rules.smallest, grid.pitch);
  const auto one_piece = [&](const BitMask& parts) { return bridged(parts, cost_of_closing, grid, rules); };
  const BitMask reachable = rule.opened(mask);
  BitMask second = rule.opened(difference_of(reachable, bridges.open));
  // Each round takes in more of the openings beside the bridges, where points are still left out.
  constexpr int rounds = 4;
  for (int round = 0; round < rounds; ++round) {
    BridgedMask second_open = one_piece(second);
    BridgedMask first_open = one_piece(difference_of(bridges.open, second_open.open));
    const BitMask both = both_of(first_open.open, second_open.open);
    const double error = error_of_closing(mask, both, cost_of_closing, grid);
    if (error < best.error_cm2)
      best = {std::move(first_open), std::move(second_open), error};
    const BitMask left_out = difference_of(reachable, both);
    if (!left_out.any())
      break;
    second |= discs_round(left_out, reachable, rule);
  }
  if (best.error_cm2 < bridges.error_cm2) {
    best.first.bridges.insert(best.first.bridges.begin(), bridges.bridges.begin(), bridges.bridges.end());
    best.first.error_cm2 = best.error_cm2;
    best.second.error_cm2 = 0;
    for (Bridge& bridge : best.second.bridges)
      bridge.error_cm2 = 0;
    charge_to_nearest(best.first.bridges, mask, both_of(best.first.open, best.second.open), cost_of_closing,
                      grid);
  }
  return best;
}

}  // namespace powderplan
