#include "separation/choice_search.h"

#include <algorithm>
#include <set>

#include "parallel.h"
#include "shelf.h"

namespace powderplan {
namespace {

ChoiceLimits limits_of(std::size_t layers,
                       const std::vector<std::size_t>& usable = {white, black, red, blue, yellow}) {
  ChoiceLimits limits;
  limits.most_layers = layers;
  limits.usable = usable;
  return limits;
}

// A small picture's worth of colours: a ramp of greys, skin and sky.
const std::vector<WeightedColour>& mixed_colours() {
  static const std::vector<WeightedColour> colours = [] {
    std::vector<WeightedColour> list;
    for (int i = 0; i < 8; ++i)
      list.push_back({{10.0 + 11 * i, 1, 2}, 10});
    list.push_back({{65, 18, 18}, 30});
    list.push_back({{45, 30, 22}, 15});
    list.push_back({{35, 10, -35}, 20});
    list.push_back({{75, 2, 45}, 10});
    return list;
  }();
  return colours;
}

FoundChoice found(const ChoiceLimits& limits, SearchEffort effort = SearchEffort::quick,
                  const std::vector<WeightedColour>& colours = mixed_colours()) {
  return search_choice(small_painter(), colours, limits, effort);
}

bool holds(const Choice& choice, std::size_t powder) {
  const auto list = powders_of(choice);
  return std::find(list.begin(), list.end(), powder) != list.end();
}

// What every choice must be, whatever the limits.
void expect_within(const Choice& choice, const ChoiceLimits& limits) {
  EXPECT_LE(layer_count(choice), limits.most_layers);
  if (limits.most_powders) {
    EXPECT_LE(powders_of(choice).size(), *limits.most_powders);
  }
  EXPECT_TRUE(allowed(choice, limits));
  if (limits.most_nests) {
    EXPECT_LE(choice.size(), *limits.most_nests);
  } else {
    EXPECT_EQ(powders_of(choice).size(), choice.size()) << "no powder twice";
  }
  for (const Nest& nest : choice) {
    EXPECT_FALSE(nest.steps.empty());
    EXPECT_TRUE(limits.most_nests || of_one_powder(nest));
    EXPECT_LE(total_load(nest), limits.most_load);
    for (const Dose& step : nest.steps) {
      EXPECT_GE(step.load, limits.least_load);
      EXPECT_TRUE(std::count(limits.usable.begin(), limits.usable.end(), step.powder) +
                      std::count(limits.use.begin(), limits.use.end(), step.powder) >
                  0);
      EXPECT_TRUE(of_one_powder(nest) ||
                  std::find(limits.apart.begin(), limits.apart.end(), step.powder) == limits.apart.end());
    }
  }
  for (const std::size_t powder : limits.use)
    EXPECT_TRUE(holds(choice, powder)) << powder;
}

TEST(Allowed, LoadsWithinTheirBounds) {
  ChoiceLimits limits = limits_of(8);
  limits.least_load = Load(0.02);
  limits.most_load = Load(0.5);
  EXPECT_TRUE(allowed({}, limits));
  EXPECT_TRUE(allowed({nest_of(red, {Load(0.02), Load(0.48)})}, limits));
  EXPECT_FALSE(allowed({nest_of(red, {Load(0.019)})}, limits));
  EXPECT_FALSE(allowed({nest_of(red, {Load(0.3), Load(0.21)})}, limits));
  EXPECT_TRUE(allowed({nest_of(red, {Load(0.5)}), nest_of(white, {Load(0.5)})}, limits))
      << "each powder for itself";
}

TEST(Allowed, NestsWithinTheirNumber) {
  ChoiceLimits limits = limits_of(8);
  const Choice mixed{Nest{{{red, Load(0.1)}, {white, Load(0.2)}}}, nest_of(red, {Load(0.1)})};
  EXPECT_TRUE(allowed(mixed, limits));
  limits.most_nests = 2;
  EXPECT_TRUE(allowed(mixed, limits));
  limits.most_nests = 1;
  EXPECT_FALSE(allowed(mixed, limits));
  limits.most_nests = 2;
  limits.apart = {white};
  EXPECT_FALSE(allowed(mixed, limits)) << "white shares a nest";
  limits.apart = {black};
  EXPECT_TRUE(allowed(mixed, limits));
  limits.apart.clear();
  // In a nest the first lies on top.
  limits.order = {white, red};
  EXPECT_TRUE(allowed({mixed[0]}, limits));
  limits.order = {red, white};
  EXPECT_FALSE(allowed({mixed[0]}, limits));
}

TEST(Allowed, OrderOfThoseThatAreChosen) {
  ChoiceLimits limits = limits_of(8);
  limits.order = {white, red, black};
  const auto order = [&](const std::vector<std::size_t>& powders) {
    Choice choice;
    for (const std::size_t p : powders)
      choice.push_back(nest_of(p, {Load(0.1)}));
    return allowed(choice, limits);
  };
  EXPECT_TRUE(order({white, red, black}));
  EXPECT_TRUE(order({white, black}));
  EXPECT_TRUE(order({blue, white, yellow, black}));
  EXPECT_FALSE(order({red, white}));
  EXPECT_FALSE(order({white, black, red}));
}

TEST(SearchChoice, StaysWithinAnyLimits) {
  holds_always(
      [] {
        ChoiceLimits limits = limits_of(*rc::gen::inRange(std::size_t{0}, std::size_t{6}));
        limits.most_at_a_spot = *rc::gen::inRange(std::size_t{1}, std::size_t{4});
        if (*rc::gen::inRange(0, 2) == 0)
          limits.most_powders = *rc::gen::inRange(std::size_t{1}, std::size_t{4});
        limits.least_load = Load(any_decade_between(0.005, 0.1));
        limits.most_load = Load(any_decade_between(0.15, 0.75));
        if (limits.most_layers > 0)
          limits.use = {*rc::gen::element(white, black, red, blue, yellow)};
        if (*rc::gen::inRange(0, 2) == 0)
          limits.order = {black, yellow, white, red};
        if (*rc::gen::inRange(0, 2) == 0) {
          limits.most_nests = *rc::gen::inRange(std::size_t{1}, std::size_t{4});
          limits.apart = {blue};
        }
        expect_within(found(limits).choice, limits);
      },
      25);
}

TEST(SearchChoice, ThoroughStaysWithinTheLimitsAndIsNoWorse) {
  ChoiceLimits limits = limits_of(4);
  limits.most_powders = 3;
  limits.use = {yellow};
  limits.order = {red, yellow, black};
  const FoundChoice quick = found(limits), thorough = found(limits, SearchEffort::thorough);
  expect_within(quick.choice, limits);
  expect_within(thorough.choice, limits);
  EXPECT_LE(thorough.mean_distance, quick.mean_distance * 1.02);
}

TEST(SearchChoice, ForcesAPowderInWhereItDoesNotHelp) {
  ChoiceLimits limits = limits_of(2);
  limits.use = {blue};
  const std::vector<WeightedColour> red_only{{small_painter().lab({{red, Load(0.2)}}), 1}};
  EXPECT_TRUE(holds(found(limits, SearchEffort::quick, red_only).choice, blue));
  EXPECT_TRUE(holds(found(limits, SearchEffort::thorough, red_only).choice, blue));
}

TEST(SearchChoice, LeavesOutWhatIsNotUsable) {
  const std::vector<WeightedColour> red_only{{small_painter().lab({{red, Load(0.2)}}), 1}};
  const ChoiceLimits limits = limits_of(3, {white, black, blue, yellow});
  expect_within(found(limits, SearchEffort::thorough, red_only).choice, limits);
}

TEST(SearchChoice, FindsATwoColouredPicture) {
  const Painter painter = small_painter();
  const std::vector<WeightedColour> two{{painter.lab({{white, Load(0.3)}}), 3},
                                        {painter.lab({{red, Load(0.12)}}), 1}};
  const FoundChoice choice = found(limits_of(2), SearchEffort::thorough, two);
  EXPECT_LT(choice.mean_distance, 0.5);
}

TEST(SearchChoice, MoreLayersAreNoWorse) {
  double before = 1e9;
  for (std::size_t layers = 0; layers <= 4; ++layers) {
    const double now = found(limits_of(layers), SearchEffort::quick).mean_distance;
    EXPECT_LE(now, before * 1.02) << layers;
    before = now;
  }
}

TEST(SearchChoice, WithNothingToDoIsBareSheet) {
  const FoundChoice none = found(limits_of(3), SearchEffort::thorough, {});
  EXPECT_TRUE(none.choice.empty());
  EXPECT_EQ(none.mean_distance, 0);
  EXPECT_TRUE(found(limits_of(0)).choice.empty());
  const std::vector<WeightedColour> sheet{{small_painter().lab({}), 1}};
  const FoundChoice bare = found(limits_of(3), SearchEffort::quick, sheet);
  EXPECT_LT(bare.mean_distance, 1e-3);
}

// Where no distance is ever computed the search must still end.
TEST(SearchChoice, EndsWithForcedPowdersAndNoColours) {
  ChoiceLimits limits = limits_of(3);
  limits.use = {white, black};
  expect_within(found(limits, SearchEffort::thorough, {}).choice, limits);
}

TEST(SearchChoice, IsTheSameForAnyNumberOfThreads) {
  const auto by = [](unsigned threads) {
    const ThreadCount cap(threads);
    return found(limits_of(3), SearchEffort::thorough);
  };
  const FoundChoice alone = by(1), together = by(2);
  EXPECT_EQ(alone.choice, together.choice);
  EXPECT_EQ(alone.mean_distance, together.mean_distance);
}

TEST(SearchChoice, ReportsGrowingShares) {
  std::vector<double> shares;
  search_choice(small_painter(), mixed_colours(), limits_of(3), SearchEffort::quick,
                [&](double share) { shares.push_back(share); });
  EXPECT_TRUE(std::is_sorted(shares.begin(), shares.end()));
  for (const double share : shares)
    EXPECT_TRUE(share >= 0 && share <= 1) << share;
}

}  // namespace
}  // namespace powderplan
