// A finished separation opened up again, so that parts of it can be planned anew.
#pragma once

#include <cstddef>
#include <vector>

#include "separation/faded_choice.h"
#include "separation/separate_on.h"
#include "separation/separation.h"

namespace powderplan {

struct OpenedSeparation {
  FadedChoice faded;  // with every label that could be, and the map
  // Which nest of the separation each nest of the choice and each fade was.
  std::vector<std::size_t> nest_was, fade_was;
};

// The other way of compacted() (compact.h): fades without a template leave the choice.
OpenedSeparation opened(const Separation& planned, std::size_t most_at_a_spot);

// Null where the layer does not lie.
const LaidLayer* find(const std::vector<LaidLayer>& laid, std::size_t nest, std::size_t step);

// Labels of the map lose what lies nowhere at their point, and what would lie in it.
void close_what_is_missing(OpenedSeparation& opened, const std::vector<LaidLayer>& laid);

}  // namespace powderplan
