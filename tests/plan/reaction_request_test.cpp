#include "plan/reaction_request.h"

#include <gtest/gtest.h>

#include "problem.h"
#include "shelf.h"

namespace powderplan {
namespace {

// Red carries what blue and yellow react with.
Palette shelf() {
  Palette palette = small_shelf();
  palette.powders[red].carries = {"sulphur"};
  palette.powders[blue].reacts_with = {"sulphur"};
  palette.powders[yellow].reacts_with = {"sulphur"};
  return palette;
}

PlanRequest asking(std::vector<ReactionWish> wishes) {
  PlanRequest request;
  request.react = std::move(wishes);
  return request;
}

std::string complaint(const PlanRequest& request) {
  try {
    pair_prices(request, shelf());
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::command_line);
    return problem.what();
  }
  return "none";
}

TEST(PairPrices, AreNoneUnasked) {
  EXPECT_TRUE(pair_prices({}, shelf()).empty());
}

TEST(PairPrices, CostWhatIsAvoidedAndPayForWhatIsWished) {
  const std::vector<PairPrice> prices =
      pair_prices(asking({{"red", "blue", false}, {"yellow", "red", true}}), shelf());
  ASSERT_EQ(prices.size(), 2u);
  EXPECT_EQ(prices[0], (PairPrice{red, blue, price_of_avoided}));
  EXPECT_FALSE(prices[0].wished());
  EXPECT_EQ(prices[1], (PairPrice{yellow, red, -worth_of_wished}));
  EXPECT_TRUE(prices[1].wished());
  EXPECT_TRUE(prices[1].of(red, yellow) && prices[1].of(yellow, red));
  EXPECT_FALSE(prices[1].of(red, blue) || prices[1].of(red, red));
}

TEST(PairPrices, AreThereOnceHoweverOftenAsked) {
  EXPECT_EQ(
      pair_prices(asking({{"red", "blue", true}, {"red", "blue", true}, {"blue", "red", true}}), shelf())
          .size(),
      1u);
}

TEST(PairPrices, RefuseWhatCannotBe) {
  EXPECT_EQ(complaint(asking({{"red", "green", false}})),
            "--react: no powder \"green\" on the shelf; the shelf has white, black, red, blue, yellow");
  EXPECT_EQ(complaint(asking({{"red", "clear", false}})),
            "--react: \"clear\" is a sheet; name two powders; another sheet is chosen with --base");
  EXPECT_EQ(complaint(asking({{"red", "red", true}})),
            "--react: \"red\" is named as a pair with itself; name two powders that react");
  EXPECT_EQ(
      complaint(asking({{"white", "red", false}})),
      "--react: \"white\" and \"red\" do not react by what the palette says of them; on this shelf white "
      "with none and red with blue, yellow react; add 'carries' and 'reacts_with' if you know better");
}

TEST(PairPrices, RefuseAWishForWhatIsLeftOut) {
  PlanRequest request = asking({{"red", "blue", true}});
  request.without = {"blue"};
  EXPECT_EQ(complaint(request),
            "--react: \"blue\" is left out and cannot touch another powder; take it out of --without, or the "
            "pair out of --react");
  request.react[0].wanted = false;
  EXPECT_EQ(complaint(request), "none");
}

}  // namespace
}  // namespace powderplan
