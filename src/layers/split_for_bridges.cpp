#include "layers/split_for_bridges.h"

#include <utility>

#include "separation/width_rule.h"

namespace powderplan {
namespace {

// All discs of the rule's diameter that lie in the mask and on at least one of the points. As in the rule,
// all is open beyond the piece's edge.
BitMask discs_round(const BitMask& points, const BitMask& mask, const WidthRule& rule) {
  const BitWidthRule disc(rule);
  const int frame = rule.diameter();
  const cv::Rect wide(-frame, -frame, mask.width() + 2 * frame, mask.height() + 2 * frame);
  BitMask places = disc.places(mask.cut_out(wide, true));
  places &= disc.touching(points.cut_out(wide));
  BitMask discs = disc.discs_on(places).cut_out({frame, frame, mask.width(), mask.height()});
  return discs &= mask;
}

BitMask difference_of(BitMask mask, const BitMask& other) {
  return mask.without(other);
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
  const BitWidthRule bit_rule(rule);
  const auto one_piece = [&](const BitMask& parts) { return bridged(parts, cost_of_closing, grid, rules); };
  const BitMask reachable = bit_rule.opened(mask);
  BitMask second = bit_rule.opened(difference_of(reachable, bridges.open));
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
