#include "weigh/stock.h"

#include <gtest/gtest.h>

#include "property.h"
#include "shelf.h"

namespace powderplan {
namespace {

Palette shelf_with(std::optional<Grams> stock, std::optional<double> price = {}) {
  Palette shelf = small_shelf();
  shelf.powders[red].stock = stock;
  shelf.powders[red].price_per_100g = price;
  return shelf;
}

TEST(Stock, WhatIsUsedIsGoneAndWhatIsMissingIsOrdered) {
  const std::vector<JarUse> siftings{{"red", Grams(12), Grams(30)}, {"red", Grams(8), Grams(9)}};
  const JarState jar = jars_after(shelf_with(Grams(100), 4.0), siftings, Grams(0))[red];
  EXPECT_TRUE(jar.wanted);
  EXPECT_EQ(jar.used, Grams(20));
  EXPECT_EQ(jar.left, Grams(80));
  EXPECT_EQ(jar.short_of, Grams(0));
  EXPECT_EQ(jar.order, Grams(0));
  EXPECT_FALSE(jar.price.has_value());

  const JarState reserved = jars_after(shelf_with(Grams(100), 4.0), siftings, Grams(90))[red];
  EXPECT_EQ(reserved.order, Grams(10));
  EXPECT_DOUBLE_EQ(*reserved.price, 0.4);
}

// What leaves the jar must be in it, though most of it comes back.
TEST(Stock, EverySiftingMustFindEnoughInTheJar) {
  const std::vector<JarUse> siftings{{"red", Grams(12), Grams(20)}, {"red", Grams(3), Grams(30)}};
  const JarState jar = jars_after(shelf_with(Grams(25)), siftings, Grams(0))[red];
  EXPECT_EQ(jar.short_of, Grams(17)) << "12 are used up, 30 are sifted, 25 are there";
  EXPECT_EQ(jar.order, Grams(17));
  EXPECT_EQ(jar.left, Grams(10));
}

TEST(Stock, AJarOfWhichNothingIsKnownLacksNothing) {
  const JarState jar = jars_after(shelf_with({}), {{"red", Grams(5), Grams(9)}}, Grams(50))[red];
  EXPECT_EQ(jar.used, Grams(5));
  EXPECT_FALSE(jar.left.has_value());
  EXPECT_EQ(jar.order, Grams(0));
}

TEST(Stock, JarsThatNoPlanWantsAreFilledUpToTheReserve) {
  const JarState jar = jars_after(shelf_with(Grams(30)), {}, Grams(50))[red];
  EXPECT_FALSE(jar.wanted);
  EXPECT_EQ(jar.order, Grams(20));
}

TEST(Stock, WithTheOrderNothingIsShortAndTheReserveIsThere) {
  holds_always([] {
    std::vector<JarUse> siftings;
    for (int n = any_whole(0, 5); n > 0; --n) {
      const double used = any_between(0, 50);
      siftings.push_back({"red", Grams(used), Grams(used + any_between(0, 80))});
    }
    const Grams stock(any_between(0, 200)), reserve(any_between(0, 60));
    const Grams order = jars_after(shelf_with(stock), siftings, reserve)[red].order;
    const JarState after = jars_after(shelf_with(stock + order), siftings, reserve)[red];
    RC_ASSERT(after.short_of < Grams(1e-9));
    RC_ASSERT(*after.left > reserve - Grams(1e-9));
    if (order > Grams(1e-6)) {
      const JarState less = jars_after(shelf_with(stock + order * 0.99), siftings, reserve)[red];
      RC_ASSERT(less.short_of > Grams(0) || *less.left < reserve);
    }
  });
}

}  // namespace
}  // namespace powderplan
