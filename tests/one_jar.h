// A shelf of one powder of which nothing is known, for tests that only weigh.
#pragma once

#include "glass/palette.h"

namespace powderplan {

inline Palette one_jar() {
  Palette palette;
  palette.powders.emplace_back();
  return palette;
}

}  // namespace powderplan
