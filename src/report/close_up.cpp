#include "report/close_up.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <vector>

#include "report/preview.h"

namespace powderplan {
namespace {

int change(const Rgb8& a, const Rgb8& b) {
  return std::abs(a.r - b.r) + std::abs(a.g - b.g) + std::abs(a.b - b.b);
}

// Sums over all rectangles from the top left corner, to have those of any rectangle at once.
class Sums {
 public:
  explicit Sums(const Image<Rgb8>& picture) : sums_(picture.width() + 1, picture.height() + 1, 0) {
    for (int y = 0; y < picture.height(); ++y) {
      for (int x = 0; x < picture.width(); ++x) {
        const Rgb8& here = picture.at(x, y);
        const int right = x + 1 < picture.width() ? change(here, picture.at(x + 1, y)) : 0;
        const int below = y + 1 < picture.height() ? change(here, picture.at(x, y + 1)) : 0;
        sums_.at(x + 1, y + 1) = sums_.at(x, y + 1) + sums_.at(x + 1, y) - sums_.at(x, y) + right + below;
      }
    }
  }
  [[nodiscard]] long long of(int left, int top, int width, int height) const {
    return sums_.at(left + width, top + height) - sums_.at(left, top + height) - sums_.at(left + width, top) +
           sums_.at(left, top);
  }

 private:
  Image<long long> sums_;
};

}  // namespace

BoxMm busiest_part(const Image<Rgb8>& picture, Millimetres width, Millimetres part_width,
                   Millimetres part_height) {
  const Image<Rgb8> small = shrunk(picture, std::max(1, static_cast<int>(std::lround(width.value()))));
  const double pitch = width.value() / small.width();
  const double height = small.height() * pitch;
  const double w = std::min(part_width.value(), width.value()), h = std::min(part_height.value(), height);
  const int across = std::clamp(static_cast<int>(std::lround(w / pitch)), 1, small.width());
  const int down = std::clamp(static_cast<int>(std::lround(h / pitch)), 1, small.height());
  const Sums sums(small);
  long long most = -1;
  int left = 0, top = 0;
  for (int y = 0; y + down <= small.height(); ++y) {
    for (int x = 0; x + across <= small.width(); ++x) {
      const long long here = sums.of(x, y, across, down);
      if (here > most) {
        most = here;
        left = x;
        top = y;
      }
    }
  }
  const double x = std::min(left * pitch, width.value() - w), y = std::min(top * pitch, height - h);
  return {x, y, x + w, y + h};
}

}  // namespace powderplan
