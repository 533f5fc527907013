#include "report/outline.h"

#include <numbers>

namespace powderplan {

double outline_mm(const Image<std::uint8_t>& mask, Millimetres pitch) {
  const auto open = [&](int x, int y) {
    return x >= 0 && y >= 0 && x < mask.width() && y < mask.height() && mask.at(x, y) != 0 ? 1 : 0;
  };
  double corners = 0, straights = 0;
  for (int y = 0; y <= mask.height(); ++y) {
    for (int x = 0; x <= mask.width(); ++x) {
      const int a = open(x - 1, y - 1), b = open(x, y - 1), c = open(x - 1, y), d = open(x, y);
      const int sum = a + b + c + d;
      if (sum == 1 || sum == 3)
        ++corners;
      else if (sum == 2)
        a == d ? corners += 2 : ++straights;
    }
  }
  return pitch.value() * (straights + corners / std::numbers::sqrt2);
}

}  // namespace powderplan
