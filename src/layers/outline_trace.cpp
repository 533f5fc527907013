#include "layers/outline_trace.h"

#include <algorithm>
#include <array>
#include <utility>

#include "layers/mask_parts.h"

namespace powderplan {
namespace {

// Ways along the sides of the squares, each a quarter turn to the right of the one before.
constexpr std::array<int, 4> dx{1, 0, -1, 0}, dy{0, 1, 0, -1};

class Tracer {
 public:
  explicit Tracer(const BitMask& mask) : mask_(mask) {}

  std::vector<std::vector<TracedPoint>> outlines() const {
    // With a border of one point; it is part 1. Sheet hangs together by sides or, as openings do not, by
    // corners.
    const MaskParts sheet(mask_.inverted().cut_out({-1, -1, mask_.width() + 2, mask_.height() + 2}, true),
                          Touching::by_corners_too);
    const MaskParts openings(mask_, Touching::by_sides);
    std::vector<std::vector<TracedPoint>> all;
    int last = 0;
    for (int y = 0; y < mask_.height(); ++y) {
      for (const MaskRun& run : openings.row(y)) {
        if (run.part <= last)
          continue;
        last = run.part;
        // The point above is sheet; it tells on which piece of sheet the opening lies.
        if (sheet.at(run.begin + 1, y) == 1)
          all.push_back(outline_from(run.begin, y));
      }
    }
    return all;
  }

 private:
  [[nodiscard]] bool open(int x, int y) const {
    return x >= 0 && y >= 0 && x < mask_.width() && y < mask_.height() && mask_.at(x, y);
  }
  // Whether the way from a corner runs along the piece's edge.
  [[nodiscard]] bool on_edge(int x, int y, int way) const {
    return dx[way] != 0 ? y == 0 || y == mask_.height() : x == 0 || x == mask_.width();
  }
  [[nodiscard]] TracedPoint corner(int x, int y) const {
    const bool at_side = x == 0 || x == mask_.width(), at_end = y == 0 || y == mask_.height();
    const Freedom freedom = at_side && at_end ? Freedom::none : at_side ? Freedom::down : Freedom::across;
    return {static_cast<double>(x), static_cast<double>(y), freedom, 0.5};
  }

  // The square beside a corner, ahead and on the given side of the way.
  [[nodiscard]] bool open_ahead(int x, int y, int way, int side) const {
    return open(x + (dx[way] + dx[side] - 1) / 2, y + (dy[way] + dy[side] - 1) / 2);
  }

  // Two edges that run side by side, both aslant, each at its limit, stay apart.
  [[nodiscard]] double reach(int x, int y, int way) const {
    const int right = (way + 1) % 4, left = (way + 3) % 4, back = (way + 2) % 4;
    int narrowest = 3;
    for (int depth = 1; depth < 3; ++depth) {
      const bool still_open = open_ahead(x + depth * dx[right], y + depth * dy[right], way, right);
      const bool still_closed = !open_ahead(x + depth * dx[left], y + depth * dy[left], way, left);
      if (!still_open || !still_closed) {
        narrowest = depth;
        break;
      }
    }
    const auto meets_by_corner = [&](int cx, int cy, int on) {
      return !open_ahead(cx, cy, on, right) && open_ahead(cx, cy, on, left);
    };
    if (narrowest == 1 || meets_by_corner(x, y, back) || meets_by_corner(x + dx[way], y + dy[way], way))
      return 0.2;
    return narrowest == 2 ? 0.3 : 0.5;
  }

  // From the upper left corner of an opening's first point, to the right along its upper side.
  [[nodiscard]] std::vector<TracedPoint> outline_from(int first_x, int first_y) const {
    std::vector<TracedPoint> chain;
    int x = first_x, y = first_y, way = 0;
    do {
      const bool edge = on_edge(x, y, way);
      if (!edge)
        chain.push_back({x + dx[way] / 2.0, y + dy[way] / 2.0, Freedom::all, reach(x, y, way)});
      x += dx[way];
      y += dy[way];
      // The square to the right of the way just gone is open, the one to its left is not. At a corner where
      // two openings meet, turning right stays with this one.
      const int right = (way + 1) % 4, left = (way + 3) % 4;
      int next = way;
      if (!open_ahead(x, y, way, right))
        next = right;
      else if (open_ahead(x, y, way, left))
        next = left;
      const bool next_edge = on_edge(x, y, next);
      const bool corner_of_piece = (x == 0 || x == mask_.width()) && (y == 0 || y == mask_.height());
      if (edge != next_edge || (edge && corner_of_piece))
        chain.push_back(corner(x, y));
      way = next;
    } while (x != first_x || y != first_y || way != 0);
    return chain;
  }

  const BitMask& mask_;
};

}  // namespace

std::vector<std::vector<TracedPoint>> traced_outlines(const BitMask& mask) {
  return Tracer(mask).outlines();
}

}  // namespace powderplan
