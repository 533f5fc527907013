#include "range.h"

#include <fmt/format.h>

#include <limits>

namespace powderplan {

std::string text_of(Range range) {
  if (range.most == std::numeric_limits<double>::infinity())
    return fmt::format("at least {}", range.least);
  return fmt::format("{} to {}", range.least, range.most);
}

}  // namespace powderplan
