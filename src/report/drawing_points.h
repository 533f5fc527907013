// Places as cut files write them: in whole thousandths of a millimetre.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "shape.h"

namespace powderplan {

struct DrawnPoint {
  std::int64_t x = 0, y = 0;  // thousandths of a millimetre
  friend bool operator==(const DrawnPoint&, const DrawnPoint&) = default;
};

// Rounded to the nearest.
std::int64_t drawn(double mm);

// The shape moved by `shift`, without points that fall on the one before them; the last is not the first.
std::vector<DrawnPoint> drawn(const PolygonMm& shape, PointMm shift);

// "12.5" for 12500: in millimetres, without zeros at the end.
std::string decimal_mm(std::int64_t thousandths);

}  // namespace powderplan
