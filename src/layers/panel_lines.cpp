#include "layers/panel_lines.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <utility>

namespace powderplan {
namespace {

struct Stretch {
  double from = 0, to = 1;  // shares of the way from a to b
};

std::optional<Stretch> stretch_in(PointMm a, PointMm b, const BoxMm& box) {
  Stretch stretch;
  const double dx = b.x - a.x, dy = b.y - a.y;
  const std::array<std::pair<double, double>, 4> sides{
      {{-dx, a.x - box.left}, {dx, box.right - a.x}, {-dy, a.y - box.top}, {dy, box.bottom - a.y}}};
  for (const auto& [outwards, room] : sides) {
    if (outwards == 0) {
      if (room < 0)
        return std::nullopt;
    } else if (outwards < 0) {
      stretch.from = std::max(stretch.from, room / outwards);
    } else {
      stretch.to = std::min(stretch.to, room / outwards);
    }
  }
  return stretch.from < stretch.to ? std::optional(stretch) : std::nullopt;
}

double apart(PointMm a, PointMm b) {
  return std::hypot(b.x - a.x, b.y - a.y);
}

}  // namespace

LinePlan lines_in(const LinePlan& lines, const BoxMm& panel) {
  LinePlan part;
  for (const LinePath& path : lines.paths) {
    LinePath run;
    const auto end_run = [&] {
      if (run.length_mm > 0)
        part.paths.push_back(std::move(run));
      run = {};
    };
    for (std::size_t i = 0; i + 1 < path.points.size(); ++i) {
      const PointMm a = path.points[i], b = path.points[i + 1];
      const std::optional<Stretch> stretch = stretch_in(a, b, panel);
      if (!stretch || stretch->from > 0)
        end_run();
      if (!stretch)
        continue;
      const auto add = [&](double share) {
        const PointMm p{a.x + share * (b.x - a.x) - panel.left, a.y + share * (b.y - a.y) - panel.top};
        if (!run.points.empty())
          run.length_mm += apart(run.points.back(), p);
        run.points.push_back(p);
        run.width_mm.push_back(path.width_mm[i] + share * (path.width_mm[i + 1] - path.width_mm[i]));
      };
      if (run.points.empty())
        add(stretch->from);
      add(stretch->to);
      if (stretch->to < 1)
        end_run();
    }
    end_run();
  }
  for (std::size_t i = 0; i < part.paths.size(); ++i) {
    part.length_mm += part.paths[i].length_mm;
    if (i > 0)
      part.travel_mm += apart(part.paths[i - 1].points.back(), part.paths[i].points.front());
  }
  return part;
}

}  // namespace powderplan
