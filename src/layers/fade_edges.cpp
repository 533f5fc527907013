#include "layers/fade_edges.h"

namespace powderplan {
namespace {

constexpr std::array<int, 4> way_x{-1, 1, 0, 0}, way_y{0, 0, -1, 1};  // as all_edge_sides
constexpr float crisp_from = 0.5F;
// The growth towards an edge is taken over so many points.
constexpr int depth = 3;

}  // namespace

std::string_view name_of(EdgeSide side) {
  switch (side) {
    case EdgeSide::left:
      return "left";
    case EdgeSide::right:
      return "right";
    case EdgeSide::top:
      return "top";
    case EdgeSide::bottom:
      return "bottom";
  }
  return "";
}

FadeEdges edges_of_fade(const Image<float>& amount, const BitMask& open, Millimetres pitch) {
  FadeEdges edges;
  const auto inside = [&](int x, int y) { return x >= 0 && y >= 0 && x < open.width() && y < open.height(); };
  for (int y = 0; y < open.height(); ++y) {
    for (int x = 0; x < open.width(); ++x) {
      if (!open.at(x, y))
        continue;
      for (std::size_t side = 0; side < 4; ++side) {
        const int dx = way_x[side], dy = way_y[side];
        if (!inside(x + dx, y + dy) || open.at(x + dx, y + dy))
          continue;
        EdgeOfFade& edge = edges.sides[side];
        const float here = amount.at(x, y);
        edge.length_mm += pitch.value();
        edge.amount += pitch.value() * here;
        if (here > crisp_from)
          edge.crisp_mm += pitch.value();
        int back = 0;
        while (back < depth && inside(x - (back + 1) * dx, y - (back + 1) * dy))
          ++back;
        if (back > 0)
          edge.rise_per_mm += static_cast<double>(here - amount.at(x - back * dx, y - back * dy)) / back;
      }
    }
  }
  double length = 0, crisp = 0;
  for (EdgeOfFade& edge : edges.sides) {
    length += edge.length_mm;
    crisp += edge.crisp_mm;
    if (edge.length_mm > 0) {
      edge.amount /= edge.length_mm;
      edge.rise_per_mm /= edge.length_mm;  // every point is one pitch long, and its growth is per point
    }
  }
  edges.crisp_share = length > 0 ? crisp / length : 0;
  return edges;
}

}  // namespace powderplan
