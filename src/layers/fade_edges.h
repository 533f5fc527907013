// How a fade meets the edges of the template that bounds it.
#pragma once

#include <array>
#include <string_view>

#include "layers/layer.h"
#include "raster/image.h"

namespace powderplan {

enum class EdgeSide : std::uint8_t { left, right, top, bottom };
inline constexpr std::array all_edge_sides{EdgeSide::left, EdgeSide::right, EdgeSide::top, EdgeSide::bottom};
std::string_view name_of(EdgeSide side);

// The part of the openings' outline that faces one side, as seen from inside the openings. A slanted edge
// counts to both of its sides, by its length along each. The piece's own edge is none of a template.
struct EdgeOfFade {
  double length_mm = 0;
  double crisp_mm = 0;     // where more than half lies at the edge
  double amount = 0;       // mean at the edge
  double rise_per_mm = 0;  // mean growth of the amount towards the edge; below 0 it thins out there
  [[nodiscard]] double crisp_share() const { return length_mm > 0 ? crisp_mm / length_mm : 0; }
};

struct FadeEdges {
  std::array<EdgeOfFade, 4> sides;  // in the order of all_edge_sides
  double crisp_share = 0;           // of all outlines
  [[nodiscard]] const EdgeOfFade& at(EdgeSide side) const { return sides[static_cast<std::size_t>(side)]; }
};

// `amount` is the fade as it would lie without its template, 0..1 of its fullest place, at the middles of the
// grid's points; `open` the template's openings.
FadeEdges edges_of_fade(const Image<float>& amount, const BitMask& open, Millimetres pitch);

}  // namespace powderplan
