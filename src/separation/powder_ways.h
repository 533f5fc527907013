// How each powder may be put down.
#pragma once

namespace powderplan {

struct PowderWays {
  bool stencil = true, fade = true, line = true;
  friend bool operator==(const PowderWays&, const PowderWays&) = default;
};

}  // namespace powderplan
