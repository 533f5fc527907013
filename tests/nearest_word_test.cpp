#include "nearest_word.h"

#include <gtest/gtest.h>

#include <array>
#include <limits>

#include "range.h"

namespace powderplan {
namespace {

constexpr std::array<std::string_view, 4> known{"layers", "load", "use", "order"};

TEST(NearestWord, FindsWhatWasMeant) {
  EXPECT_EQ(nearest_word("layers", known), "layers");
  EXPECT_EQ(nearest_word("layer", known), "layers");
  EXPECT_EQ(nearest_word("laod", known), "load");
  EXPECT_EQ(nearest_word("ordre", known), "order");
}

TEST(NearestWord, PrefersTheSameBeginning) {
  constexpr std::array<std::string_view, 2> both{"k", "id"};
  EXPECT_EQ(nearest_word("ik", both), "id");
}

TEST(NearestWord, GuessesNothingFarAway) {
  EXPECT_EQ(nearest_word("kiln", known), std::nullopt);
  EXPECT_EQ(nearest_word("", known), std::nullopt);
  EXPECT_EQ(nearest_word("us", known), "use");
  EXPECT_EQ(nearest_word("x", known), std::nullopt);
  EXPECT_EQ(nearest_word("ord", known), std::nullopt);  // two edits of three letters
  EXPECT_EQ(nearest_word("layers", {}), std::nullopt);
}

TEST(Range, HoldsItsBoundsAndNothingThatIsNoNumber) {
  constexpr Range range{1, 5, "mm"};
  EXPECT_TRUE(range.holds(1) && range.holds(5));
  EXPECT_FALSE(range.holds(0.999) || range.holds(5.001));
  EXPECT_FALSE(range.holds(std::numeric_limits<double>::quiet_NaN()));
  EXPECT_EQ(text_of(range), "1 to 5 mm");
  EXPECT_EQ(text_of({0, 1}), "0 to 1");
  EXPECT_EQ(text_of({1, std::numeric_limits<double>::infinity(), "g"}), "at least 1 g");
}

}  // namespace
}  // namespace powderplan
