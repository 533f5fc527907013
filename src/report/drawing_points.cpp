#include "report/drawing_points.h"

#include <fmt/format.h>

#include <cmath>

namespace powderplan {

std::int64_t drawn(double mm) {
  return std::llround(mm * 1000);
}

std::vector<DrawnPoint> drawn(const PolygonMm& shape, PointMm shift) {
  std::vector<DrawnPoint> points;
  for (const PointMm& p : shape) {
    const DrawnPoint next{drawn(p.x + shift.x), drawn(p.y + shift.y)};
    if (points.empty() || !(next == points.back()))
      points.push_back(next);
  }
  while (points.size() > 1 && points.front() == points.back())
    points.pop_back();
  return points;
}

std::string decimal_mm(std::int64_t thousandths) {
  const std::int64_t size = std::abs(thousandths);
  std::string text = fmt::format("{}{}.{:03}", thousandths < 0 ? "-" : "", size / 1000, size % 1000);
  while (text.back() == '0')
    text.pop_back();
  if (text.back() == '.')
    text.pop_back();
  return text;
}

}  // namespace powderplan
