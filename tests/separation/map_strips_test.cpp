#include "separation/map_strips.h"

#include <mutex>
#include <vector>

#include "property.h"

namespace powderplan {
namespace {

// Every row is changed once, and no row that one strip sees is changed by another at the same time.
TEST(MapStrips, ShareOutTheRows) {
  holds_always([] {
    const int height = *rc::gen::inRange(1, 300), across = *rc::gen::inRange(1, 60);
    const int margin = *rc::gen::inRange(0, across + 1);
    std::vector<Strip> strips;
    std::mutex lock;
    for_each_strip(height, across, margin, [&](const Strip& strip) {
      const std::lock_guard guard(lock);
      strips.push_back(strip);
    });
    std::vector<int> changed(static_cast<std::size_t>(height));
    for (const Strip& strip : strips) {
      for (int y = strip.begin; y < strip.end; ++y)
        ++changed[static_cast<std::size_t>(y)];
      RC_ASSERT(strip.top == std::max(0, strip.begin - margin));
      RC_ASSERT(strip.bottom == std::min(height, strip.end + margin));
      for (const Strip& other : strips) {
        const bool together =
            (strip.begin / across - other.begin / across) % 2 == 0 && strip.begin != other.begin;
        RC_ASSERT(!together || other.end <= strip.top || other.begin >= strip.bottom);
      }
    }
    RC_ASSERT(changed == std::vector<int>(changed.size(), 1));
  });
}

}  // namespace
}  // namespace powderplan
