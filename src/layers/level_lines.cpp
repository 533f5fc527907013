#include "layers/level_lines.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <unordered_map>

namespace powderplan {
namespace {

// The sides of all meshes have numbers: two a crossing, to the right of it and below it.
using Side = std::int64_t;
constexpr Side none = -1;

class Tracer {
 public:
  Tracer(const Lattice& field, double level) : field_(field), level_(level) {
    for (int row = 0; row + 1 < field.values.height(); ++row) {
      for (int column = 0; column + 1 < field.values.width(); ++column)
        cross_mesh(column, row);
    }
  }

  std::vector<LineMm> lines() {
    std::vector<LineMm> all;
    for (const Side side : order_) {
      if (met_[side].done)
        continue;
      // Back to where the line begins, or once round; then all of it.
      const std::vector<Side> back = walk(side);
      LineMm line;
      for (const Side passed : walk(back.back())) {
        met_[passed].done = true;
        line.push_back(place_of(passed));
      }
      all.push_back(std::move(line));
    }
    return all;
  }

 private:
  struct Crossing {
    std::array<Side, 2> next{none, none};
    bool done = false;
  };

  [[nodiscard]] double value(int column, int row) const { return field_.values.at(column, row) - level_; }
  [[nodiscard]] bool above(int column, int row) const { return value(column, row) >= 0; }
  [[nodiscard]] Side side_of(int column, int row, bool downwards) const {
    return 2 * (static_cast<Side>(row) * field_.values.width() + column) + (downwards ? 1 : 0);
  }

  void join(Side a, Side b) {
    for (const auto& [from, to] : {std::pair{a, b}, std::pair{b, a}}) {
      const auto [place, is_new] = met_.try_emplace(from);
      if (is_new)
        order_.push_back(from);
      auto& next = place->second.next;
      (next[0] == none ? next[0] : next[1]) = to;
    }
  }

  void cross_mesh(int column, int row) {
    // Corners clockwise from the upper left one, and the side after each.
    const std::array corner{above(column, row), above(column + 1, row), above(column + 1, row + 1),
                            above(column, row + 1)};
    const std::array side{side_of(column, row, false), side_of(column + 1, row, true),
                          side_of(column, row + 1, false), side_of(column, row, true)};
    std::array<Side, 4> crossed{};
    std::size_t count = 0;
    for (std::size_t i = 0; i < 4; ++i) {
      if (corner[i] != corner[(i + 1) % 4])
        crossed[count++] = side[i];
    }
    if (count == 2) {
      join(crossed[0], crossed[1]);
    } else if (count == 4) {
      const double mean =
          value(column, row) + value(column + 1, row) + value(column + 1, row + 1) + value(column, row + 1);
      // The corners that are not on the mean's side are cut off, each by a line of its own.
      if ((mean >= 0) == corner[0]) {
        join(side[0], side[1]);
        join(side[2], side[3]);
      } else {
        join(side[3], side[0]);
        join(side[1], side[2]);
      }
    }
  }

  // From a side on until the line ends, or comes back to it.
  std::vector<Side> walk(Side start) {
    std::vector<Side> passed{start};
    for (Side before = none, at = start;;) {
      const std::array<Side, 2>& next = met_[at].next;
      const Side to = next[0] != before ? next[0] : next[1];
      if (to == none)
        return passed;
      passed.push_back(to);
      if (to == start)
        return passed;
      before = at;
      at = to;
    }
  }

  [[nodiscard]] PointMm place_of(Side side) const {
    const bool downwards = side % 2 != 0;
    const auto column = static_cast<int>(side / 2 % field_.values.width());
    const auto row = static_cast<int>(side / 2 / field_.values.width());
    const double a = value(column, row), b = downwards ? value(column, row + 1) : value(column + 1, row);
    const double along = a == b ? 0.5 : a / (a - b);
    return {(column + (downwards ? 0 : along)) * field_.across,
            (row + (downwards ? along : 0)) * field_.down};
  }

  const Lattice& field_;
  double level_;
  std::unordered_map<Side, Crossing> met_;
  std::vector<Side> order_;
};

}  // namespace

std::vector<LineMm> level_lines(const Lattice& field, double level) {
  return Tracer(field, level).lines();
}

LineMm with_few_points(const LineMm& line, double tolerance) {
  if (line.size() < 3)
    return line;
  const bool closed = line.front() == line.back();
  std::vector<cv::Point2f> all, few;
  for (const PointMm& p : line)
    all.emplace_back(static_cast<float>(p.x), static_cast<float>(p.y));
  if (closed)
    all.pop_back();
  cv::approxPolyDP(all, few, tolerance, closed);
  LineMm result;
  for (const cv::Point2f& p : few)
    result.push_back({p.x, p.y});
  if (closed)
    result.push_back(result.front());
  return result;
}

double length_of(const LineMm& line) {
  double length = 0;
  for (std::size_t i = 1; i < line.size(); ++i)
    length += std::hypot(line[i].x - line[i - 1].x, line[i].y - line[i - 1].y);
  return length;
}

}  // namespace powderplan
