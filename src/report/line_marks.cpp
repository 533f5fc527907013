#include "report/line_marks.h"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "report/canvas.h"
#include "report/step_picture.h"

namespace powderplan {
namespace {

struct Box {
  double left, top, right, bottom;
};

bool apart(const Box& a, const Box& b) {
  return a.right < b.left || b.right < a.left || a.bottom < b.top || b.bottom < a.top;
}

void dot(Canvas& canvas, double x, double y, double radius, const Rgb8& colour) {
  for (int row = static_cast<int>(-radius); row <= static_cast<int>(radius); ++row) {
    const double half = std::sqrt(std::max(0.0, radius * radius - row * row));
    canvas.fill(std::round(x - half), std::round(y) + row, std::round(2 * half), 1, colour);
  }
}

}  // namespace

Image<Rgb8> with_numbers(const Image<Rgb8>& picture, const LinePlan& lines, Millimetres width) {
  if (lines.paths.empty())
    return picture;
  Canvas canvas(picture.width(), picture.height());
  canvas.picture(0, 0, picture);
  const double scale = picture.width() / width.value(), size = std::max(11.0, picture.width() / 60.0);
  const double radius = size / 2;
  const TextStyle style{.size = size, .weight = Weight::bold, .align = Align::centre};
  std::vector<Box> taken;
  for (std::size_t i = 0; i < lines.paths.size(); ++i) {
    const LinePath& path = lines.paths[i];
    const double x = path.points.front().x * scale, y = path.points.front().y * scale;
    const std::string number = std::to_string(i + 1);
    const double half = canvas.text_width(number, style) / 2 + 2;
    // Behind the beginning, so that the line itself stays free.
    double dx = x - path.points.back().x * scale, dy = y - path.points.back().y * scale;
    for (const PointMm& p : path.points) {
      if (std::hypot(x - p.x * scale, y - p.y * scale) > 2 * size) {
        dx = x - p.x * scale;
        dy = y - p.y * scale;
        break;
      }
    }
    const double away = std::hypot(dx, dy), reach = radius + 0.9 * size;
    const double cx = std::clamp(x + (away > 0 ? dx / away : -1) * reach, half, picture.width() - half);
    const double cy =
        std::clamp(y + (away > 0 ? dy / away : 0) * reach, 0.7 * size, picture.height() - 0.7 * size);
    const Box box{cx - half, cy - 0.6 * size, cx + half, cy + 0.6 * size};
    if (i == 0) {
      dot(canvas, x, y, radius + 2, {255, 255, 255});
      dot(canvas, x, y, radius, mark_edge_colour);
      taken.push_back({x - radius, y - radius, x + radius, y + radius});
    } else if (!std::all_of(taken.begin(), taken.end(), [&](const Box& b) { return apart(box, b); })) {
      continue;
    }
    canvas.fill(box.left, box.top, box.right - box.left, box.bottom - box.top, {255, 255, 255});
    canvas.text(cx, cy + 0.36 * size, number, style);
    taken.push_back(box);
  }
  return canvas.image();
}

}  // namespace powderplan
