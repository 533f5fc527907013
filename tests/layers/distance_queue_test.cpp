#include "layers/distance_queue.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <map>

#include "property.h"

namespace powderplan {
namespace {

// Within a bucket anything may come first.
bool as_near(float one, float other) {
  return one <= other * (1 + 1.0F / 1024) || one <= 1.0F / 4096;
}

TEST(DistanceQueue, GivesEachEntryOnceTheNearestFirst) {
  holds_always([] {
    DistanceQueue queue;
    std::multimap<float, int> plain;
    const int steps = any_whole(1, 300);
    for (int i = 0; i < steps; ++i) {
      if (plain.empty() || any_whole(0, 2) > 0) {
        // From far below the first bucket upwards, and back to 0 as when a search starts anew.
        const float unit = *rc::gen::element(0.0F, 1e-8F, 1e-3F, 1.0F, 300.0F);
        const float distance = static_cast<float>(any_whole(0, 1000)) * unit;
        queue.add(distance, i);
        plain.emplace(distance, i);
        continue;
      }
      RC_ASSERT(!queue.empty());
      const DistanceQueue::Entry first = queue.first();
      RC_ASSERT(as_near(first.distance, plain.begin()->first));
      const auto known = std::find_if(plain.begin(), plain.end(),
                                      [&](const auto& entry) { return entry.second == first.place; });
      RC_ASSERT(known != plain.end());
      RC_ASSERT(known->first == first.distance);
      plain.erase(known);
      queue.remove_first();
    }
    RC_ASSERT(queue.empty() == plain.empty());
  });
}

TEST(DistanceQueue, IsEmptyOnceClearedAndCanBeUsedAgain) {
  DistanceQueue queue;
  for (int i = 0; i < 100; ++i)
    queue.add(static_cast<float>(i), i);
  queue.clear();
  EXPECT_TRUE(queue.empty());
  queue.add(5, 7);
  ASSERT_FALSE(queue.empty());
  EXPECT_EQ(queue.first().place, 7);
  queue.remove_first();
  EXPECT_TRUE(queue.empty());
}

}  // namespace
}  // namespace powderplan
