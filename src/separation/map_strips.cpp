#include "separation/map_strips.h"

#include <algorithm>

#include "parallel.h"

namespace powderplan {

void for_each_strip(int height, int across, int margin, const std::function<void(const Strip&)>& work) {
  const int strips = (height + across - 1) / across;
  for (const int parity : {0, 1}) {
    for_each_block(static_cast<std::size_t>((strips + 1 - parity) / 2), [&](std::size_t i) {
      const int begin = (2 * static_cast<int>(i) + parity) * across, end = std::min(height, begin + across);
      work({begin, end, std::max(0, begin - margin), std::min(height, end + margin)});
    });
  }
}

}  // namespace powderplan
