#include "report/fade_drawing.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace powderplan {
namespace {

// In letters: room round a mark, from a start to its arrow, shortest and longest arrow, least length of a
// line that is marked, and of one that is marked when the level has another mark.
constexpr double room = 1.6, start_room = 1.1, shortest_arrow = 1.2, longest_arrow = 9, least_marked = 2;
constexpr double least_marked_again = 8;
constexpr std::size_t most_marks = 3;
// A share is written where nothing else stands so near, in letters: it is about 1.3 of them wide, as a start
// is 1.5.
constexpr double least_free = 1.4;
// An arrow ends where this share of what lies at the fullest place is left.
constexpr double thin = 0.125;

class Drawing {
 public:
  Drawing(const FadeBench& bench, const Layer& layer, const Grid& grid, Millimetres letter)
      : bench_(bench),
        layer_(layer),
        pitch_(grid.pitch.value()),
        width_(grid.width * pitch_),
        height_(grid.height * pitch_),
        letter_(letter.value()) {}

  FadeDrawing drawn() {
    for (const PointMm& start : bench_.way.starts) {
      drawing_.starts.push_back(beside_others(inwards(start, room / 2)));
      taken_.push_back(drawing_.starts.back());
    }
    for (const FadePlace& place : bench_.places)
      draw_arrows(place.way);
    for (const FadeLevel& level : bench_.levels)
      mark(level);
    return drawing_;
  }

 private:
  [[nodiscard]] PointMm inwards(PointMm p, double letters) const {
    const double x = std::min(letters * letter_, width_ / 2), y = std::min(letters * letter_, height_ / 2);
    return {std::clamp(p.x, x, width_ - x), std::clamp(p.y, y, height_ - y)};
  }
  [[nodiscard]] double amount(PointMm p) const {
    const int x = static_cast<int>(std::floor(p.x / pitch_)), y = static_cast<int>(std::floor(p.y / pitch_));
    if (x < 0 || y < 0 || x >= layer_.amount.width() || y >= layer_.amount.height())
      return 0;
    return layer_.load * (static_cast<double>(layer_.amount.at(x, y)) / whole_amount) / bench_.full;
  }

  // Numbers of neighbouring starts stay legible: the second moves to where most lies beside the first.
  [[nodiscard]] PointMm beside_others(PointMm start) const {
    const double apart = room * letter_;
    if (free_round(start) >= apart)
      return start;
    PointMm best = start;
    double most = 0;
    constexpr int ways = 16, rings = 3;
    for (int ring = 1; ring <= rings; ++ring) {
      for (int i = 0; i < ways; ++i) {
        const double turn = 2 * std::numbers::pi * i / ways;
        const PointMm p{start.x + ring * apart * std::cos(turn), start.y + ring * apart * std::sin(turn)};
        if (amount(p) > most && inwards(p, room / 2) == p && free_round(p) >= apart) {
          most = amount(p);
          best = p;
        }
      }
    }
    return best;
  }

  // Along a way of length 1 as far as powder lies.
  void draw_arrow(PointMm from, PointMm way, double begin) {
    const PointMm start{from.x + begin * way.x, from.y + begin * way.y};
    if (inwards(start, 0) != start)
      return;  // it would begin beside the piece
    double length = 0;
    while (length < longest_arrow * letter_ &&
           amount({start.x + length * way.x, start.y + length * way.y}) > thin)
      length += pitch_;
    const PointMm end = inwards({start.x + length * way.x, start.y + length * way.y}, 0.3);
    if ((end.x - start.x) * way.x + (end.y - start.y) * way.y < shortest_arrow * letter_)
      return;
    drawing_.arrows.push_back({start, end});
    for (int i = 0; i <= 4; ++i)
      taken_.push_back({start.x + (end.x - start.x) * i / 4, start.y + (end.y - start.y) * i / 4});
  }

  void draw_arrows(const FadeWay& way) {
    if (way.starts.empty())
      return;
    const PointMm first = inwards(way.starts[0], room / 2), back{-way.towards.x, -way.towards.y};
    const double clear = start_room * letter_;
    switch (way.course) {
      case FadeCourse::one_way:
        draw_arrow(first, way.towards, clear);
        break;
      case FadeCourse::from_band:
        draw_arrow(first, way.towards, clear);
        draw_arrow(first, back, clear);
        break;
      case FadeCourse::outwards:
        for (const PointMm& aslant : diagonals())
          draw_arrow(first, aslant, clear);
        break;
      case FadeCourse::inwards:
        for (const PointMm& aslant : diagonals()) {
          const double away = longest_arrow / 2 * letter_;
          draw_arrow({way.middle.x + away * aslant.x, way.middle.y + away * aslant.y}, {-aslant.x, -aslant.y},
                     0);
        }
        break;
      case FadeCourse::to_band:
      case FadeCourse::even:
      case FadeCourse::several:
        break;
    }
  }

  static std::array<PointMm, 4> diagonals() {
    const double half = std::sqrt(0.5);
    return {PointMm{half, -half}, PointMm{half, half}, PointMm{-half, half}, PointMm{-half, -half}};
  }

  [[nodiscard]] double free_round(PointMm p) const {
    double least = width_ + height_;
    for (const PointMm& t : taken_)
      least = std::min(least, std::hypot(p.x - t.x, p.y - t.y));
    return least;
  }

  void mark(const FadeLevel& level) {
    std::vector<const LineMm*> lines;
    for (const LineMm& line : level.lines)
      lines.push_back(&line);
    std::stable_sort(lines.begin(), lines.end(),
                     [](const LineMm* a, const LineMm* b) { return length_of(*a) > length_of(*b); });
    for (std::size_t i = 0; i < std::min(lines.size(), most_marks); ++i) {
      if (length_of(*lines[i]) < (i > 0 ? least_marked_again : least_marked) * letter_)
        break;
      mark_line(*lines[i], level.share);
    }
  }

  // Where there is most room, but no farther than needed from the line's middle.
  void mark_line(const LineMm& line, double share) {
    const double length = length_of(line), enough = 2 * room * letter_;
    std::optional<PointMm> best;
    double most = -1, passed = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
      const PointMm a = line[i - 1], b = line[i];
      const double step = std::hypot(b.x - a.x, b.y - a.y);
      const int parts = std::max(1, static_cast<int>(std::ceil(step)));
      for (int k = 0; k < parts; ++k) {
        const double along = static_cast<double>(k) / parts;
        const PointMm p{a.x + (b.x - a.x) * along, a.y + (b.y - a.y) * along};
        const PointMm on_piece = inwards(p, 0.7);
        if (!(on_piece == p))
          continue;
        const double off_middle = std::abs((passed + along * step) / length - 0.5);
        const double score = std::min(free_round(p), enough) - 0.2 * enough * off_middle;
        if (score > most) {
          most = score;
          best = p;
        }
      }
      passed += step;
    }
    if (!best || free_round(*best) < least_free * letter_)
      return;
    drawing_.marks.push_back({*best, share});
    taken_.push_back(*best);
  }

  const FadeBench& bench_;
  const Layer& layer_;
  double pitch_, width_, height_, letter_;
  std::vector<PointMm> taken_;
  FadeDrawing drawing_;
};

}  // namespace

FadeDrawing fade_drawing(const FadeBench& bench, const Layer& layer, const Grid& grid, Millimetres letter) {
  return Drawing(bench, layer, grid, letter).drawn();
}

}  // namespace powderplan
