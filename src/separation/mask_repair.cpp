#include "separation/mask_repair.h"

#include <algorithm>
#include <vector>

#include "separation/tile_parts.h"

namespace powderplan {
namespace {

// Each round mends what the one before left or made; after these the rest is only taken away.
constexpr int most_rounds = 2;
// A long narrow part is decided on piece by piece, each in a tile of this many diameters.
constexpr int tile_diameters = 2;

// Points that lie as deep in the mask as all round them, counted up to half the rule's diameter: beyond that
// nothing is narrow. Wearing the mask down by crosses and squares in turn comes near to round.
BitMask middle_of(const BitMask& mask, int diameter) {
  BitMask middle(mask.width(), mask.height()), left = mask;
  for (int i = 1; i < (diameter + 1) / 2; ++i) {
    BitMask deeper = worn(left, i % 2 == 1);
    middle |= left.remove(grown(deeper, 1));
    left = std::move(deeper);
  }
  return middle |= left;
}

// Settles all narrow parts of one kind: of the openings (value true) or of the webs. Each is given up or
// widened to the rule around its middle line, whichever costs less over the points that change. False when
// there were none.
bool settle(BitMask& mask, bool value, const Image<float>& cost, const WidthRule& rule) {
  const BitMask narrow = value ? rule.narrow_openings(mask) : rule.narrow_webs(mask);
  if (!narrow.any())
    return false;
  // Points of this value.
  const BitMask were = value ? mask : mask.inverted();
  const BitMask middle = middle_of(were, rule.diameter());
  BitMask widened(mask.width(), mask.height()), given_up = widened, gained = widened;
  const float sign = value ? 1.0F : -1.0F;
  const int tile = std::min(tile_diameters * rule.diameter(), largest_tile);
  std::vector<cv::Point> added;
  for_each_part(narrow, tile, 0, mask.height(), [&](const TilePart& part) {
    double giving_up = 0, widening = 0;
    added.clear();
    part.for_each([&](int x, int y) {
      giving_up -= static_cast<double>(sign * cost.at(x, y));
      if (!middle.at(x, y))
        return;
      for (const cv::Point& offset : rule.disc()) {
        const int cx = x + offset.x, cy = y + offset.y;
        if (cx < 0 || cy < 0 || cx >= mask.width() || cy >= mask.height() || were.at(cx, cy) ||
            gained.at(cx, cy))
          continue;
        gained.set(cx, cy);
        widening += static_cast<double>(sign * cost.at(cx, cy));
        added.emplace_back(cx, cy);
      }
    });
    for (const cv::Point& point : added)
      gained.clear(point.x, point.y);
    if (widening < giving_up) {
      for (const cv::Point& point : added)
        widened.set(point.x, point.y);
    } else {
      for (int k = part.first; k < part.end; ++k)
        given_up.flip(part.left, part.top + k, part.rows[static_cast<std::size_t>(k)]);
    }
  });
  // What one part gives up another may need.
  given_up.remove(widened);
  if (value)
    (mask |= widened).remove(given_up);
  else
    mask.remove(widened) |= given_up;
  return true;
}

}  // namespace

BitMask repaired(BitMask mask, const Image<float>& cost_of_opening, const WidthRule& rule) {
  for (int round = 0; round < most_rounds; ++round) {
    const bool openings = settle(mask, true, cost_of_opening, rule);
    const bool webs = settle(mask, false, cost_of_opening, rule);
    if (!openings && !webs)
      return mask;
  }
  return rule.shrunk_to_rule(rule.closed(rule.opened(mask)));
}

}  // namespace powderplan
