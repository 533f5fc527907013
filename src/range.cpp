#include "range.h"

#include <fmt/format.h>

#include <limits>

namespace powderplan {

std::string text_of(Range range) {
  const std::string bounds = range.most == std::numeric_limits<double>::infinity()
                                 ? fmt::format("at least {}", range.least)
                                 : fmt::format("{} to {}", range.least, range.most);
  return range.unit.empty() ? bounds : fmt::format("{} {}", bounds, range.unit);
}

}  // namespace powderplan
