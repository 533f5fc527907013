#include "plan/answer.h"

#include <fmt/format.h>

namespace powderplan {

Rgb8 Answer::colour() const {
  const std::string said = text();
  Rgb8 colour;
  if (!parse_hex(said, colour))
    fail(fmt::format("\"{}\" is no colour", said), "write it as \"#rrggbb\", e.g. \"#f0efe9\"");
  return colour;
}

}  // namespace powderplan
