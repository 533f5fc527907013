// A map cut into strips of rows that can be worked on side by side.
#pragma once

#include <functional>

namespace powderplan {

// The rows [begin, end) may be changed; those from `top` to `bottom` round them are seen too.
struct Strip {
  int begin = 0, end = 0;
  int top = 0, bottom = 0;
  [[nodiscard]] int rows() const { return bottom - top; }
};

// Strips of `across` rows with `margin` rows round them (at most `across`): first every other one, at the
// same time, then those between. No strip sees rows that another changes meanwhile, so that the result is the
// same whatever the number of threads.
void for_each_strip(int height, int across, int margin, const std::function<void(const Strip&)>& work);

}  // namespace powderplan
