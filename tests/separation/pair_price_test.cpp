#include "separation/pair_price.h"

#include "property.h"
#include "separation/choice_search.h"
#include "shelf.h"

namespace powderplan {
namespace {

Recipe recipe(std::initializer_list<std::size_t> powders) {
  Recipe made;
  for (const std::size_t powder : powders)
    made.push_back({powder, Load(0.1)});
  return made;
}

Choice choice(std::initializer_list<std::size_t> powders) {
  Choice made;
  for (const std::size_t powder : powders)
    made.push_back(nest_of(powder, {Load(0.1)}));
  return made;
}

const std::vector<PairPrice> avoided{{red, blue, 10}}, wished{{red, blue, -2}};

TEST(PriceOfContacts, IsPaidWhereTwoToBeAvoidedFollowEachOther) {
  EXPECT_EQ(price_of_contacts(recipe({red, blue}), avoided), 10);
  EXPECT_EQ(price_of_contacts(recipe({white, blue, red, black}), avoided), 10);
  EXPECT_EQ(price_of_contacts(recipe({red, white, blue}), avoided), 0);
  EXPECT_EQ(price_of_contacts(recipe({red}), avoided), 0);
  EXPECT_EQ(price_of_contacts({}, avoided), 0);
}

TEST(PriceOfContacts, IsPaidWhereTwoWishedForDoNot) {
  EXPECT_EQ(price_of_contacts(recipe({blue, red}), wished), 0);
  EXPECT_EQ(price_of_contacts(recipe({red, white, blue}), wished), 2);
  EXPECT_EQ(price_of_contacts({}, wished), 2);
}

TEST(PriceOfContacts, OfSeveralPairsAdds) {
  const std::vector<PairPrice> both{{red, blue, 10}, {blue, yellow, 4}, {white, red, -1}};
  EXPECT_EQ(price_of_contacts(recipe({red, blue, yellow}), both), 15);
  EXPECT_EQ(price_of_contacts(recipe({white, red, blue}), both), 10);
}

TEST(PriceOfHolding, IsPaidForBothToBeAvoidedAndForLessThanBothWished) {
  EXPECT_EQ(price_of_holding(choice({white, red, blue}), avoided), share_for_holding * 10);
  EXPECT_EQ(price_of_holding(choice({white, red}), avoided), 0);
  EXPECT_EQ(price_of_holding(choice({white, red}), wished), share_for_holding * 2 / 2);
  EXPECT_EQ(price_of_holding(choice({white}), wished), share_for_holding * 2);
  EXPECT_EQ(price_of_holding(choice({blue, red}), wished), 0);
  EXPECT_EQ(price_of_holding(choice({}), avoided), 0);
  EXPECT_EQ(price_of_holding(choice({blue, red}), {}), 0);
}

// Colours that ask for blue on red and for each alone.
std::vector<WeightedColour> of_both(const Painter& painter) {
  std::vector<WeightedColour> colours;
  for (const double r : {0.0, 0.05, 0.2}) {
    for (const double b : {0.0, 0.05, 0.2}) {
      Recipe r_and_b;
      if (r > 0)
        r_and_b.push_back({red, Load(r)});
      if (b > 0)
        r_and_b.push_back({blue, Load(b)});
      colours.push_back({painter.lab(r_and_b), 1});
    }
  }
  return colours;
}

// Share of the labels of a choice that hold a contact, as a measure of whether there is any.
bool any_contact(const Choice& choice) {
  for (const Tones& label : all_labels(choice, 3)) {
    if (price_of_contacts(recipe_of(choice, label), avoided) > 0)
      return true;
  }
  return false;
}

TEST(ChoiceWithPairs, LeavesOutOneOfAPairToBeAvoided) {
  const Painter painter = small_painter();
  ChoiceLimits limits;
  limits.most_layers = 4;
  limits.usable = {white, black, red, blue, yellow};
  const std::vector<WeightedColour> colours = of_both(painter);
  const FoundChoice free = search_choice(painter, colours, limits, SearchEffort::thorough);
  EXPECT_TRUE(any_contact(free.choice));
  limits.pairs = {{red, blue, 1000}};
  const FoundChoice apart = search_choice(painter, colours, limits, SearchEffort::thorough);
  EXPECT_FALSE(any_contact(apart.choice));
  EXPECT_FALSE(apart.choice.empty());
  EXPECT_GT(apart.mean_distance, free.mean_distance);
}

TEST(ChoiceWithPairs, TakesBothOfAPairWishedFor) {
  const Painter painter = small_painter();
  ChoiceLimits limits;
  limits.most_layers = 2;
  limits.usable = {white, black, red, blue, yellow};
  const std::vector<WeightedColour> greys{{Lab{90, 0, 0}, 1}, {Lab{20, 0, 0}, 1}};
  EXPECT_FALSE(any_contact(search_choice(painter, greys, limits, SearchEffort::thorough).choice));
  limits.pairs = {{red, blue, -1000}};  // one is taken for half of it, the other for all
  EXPECT_TRUE(any_contact(search_choice(painter, greys, limits, SearchEffort::thorough).choice));
}

TEST(ChoiceWithPairs, ThatAreNotAskedForIsAsBefore) {
  const Painter painter = small_painter();
  ChoiceLimits limits;
  limits.most_layers = 3;
  limits.usable = {white, black, yellow};
  const std::vector<WeightedColour> colours = of_both(painter);
  const FoundChoice free = search_choice(painter, colours, limits, SearchEffort::thorough);
  limits.pairs = {{red, blue, 10}};  // neither may be used
  const FoundChoice priced = search_choice(painter, colours, limits, SearchEffort::thorough);
  EXPECT_EQ(priced.choice, free.choice);
  EXPECT_EQ(priced.mean_distance, free.mean_distance);
}

TEST(PriceOfContacts, OfADearPowderIsByItsLoad) {
  const std::vector<PairPrice> dear{{red, red, 20}};
  EXPECT_DOUBLE_EQ(price_of_contacts({{red, Load(0.1)}, {blue, Load(0.3)}, {red, Load(0.05)}}, dear), 3.0);
  EXPECT_EQ(price_of_contacts({{blue, Load(0.3)}}, dear), 0);
  EXPECT_EQ(price_of_contacts({}, dear), 0);
  EXPECT_EQ(price_of_holding(choice({red, blue}), dear), 0);
}

}  // namespace
}  // namespace powderplan
