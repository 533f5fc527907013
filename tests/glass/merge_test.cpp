#include <gtest/gtest.h>

#include "glass/good_palette.h"
#include "glass/palette.h"
#include "problem.h"

namespace powderplan {
namespace {

Palette read(const std::string& text) {
  return parse_palette(text, "shelf.toml");
}

Palette other_shelf() {
  std::string text = good_palette;
  for (const auto& [from, to] : {std::pair{"\"samphire\"", "\"ochre\""},
                                 {"\"inkwell\"", "\"slate\""},
                                 {"\"clear\"", "\"white\""},
                                 {"Studio", "Second"}})
    text = changed(from, to, text);
  return read(text);
}

std::string complaint(const Palette& other) {
  try {
    merge({read(good_palette), other}, {"one.toml", "two.toml"});
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    return problem.what();
  }
  return "none";
}

TEST(Merge, OfOneShelfIsThatShelf) {
  const Palette one = merge({read(good_palette)}, {"one.toml"});
  EXPECT_EQ(one.name, "Studio shelf");
  EXPECT_EQ(one.powders.size(), 2u);
  EXPECT_EQ(one.sheets.size(), 1u);
}

TEST(Merge, KeepsEveryPowderAndSheetInOrder) {
  const Palette both = merge({read(good_palette), other_shelf()}, {"one.toml", "two.toml"});
  ASSERT_EQ(both.powders.size(), 4u);
  EXPECT_EQ(both.powders[0].id, "samphire");
  EXPECT_EQ(both.powders[2].id, "ochre");
  EXPECT_EQ(both.powders[3].id, "slate");
  ASSERT_EQ(both.sheets.size(), 2u);
  EXPECT_EQ(both.sheets[1].id, "white");
  EXPECT_EQ(both.name, "Studio shelf + Second shelf");
}

TEST(Merge, RefusesAnotherFamily) {
  Palette other = other_shelf();
  other.family = "second";
  EXPECT_EQ(
      complaint(other),
      "two.toml: expansion family \"second\" (9.1e-06 per K) cannot be mixed with \"A\" (9.1e-06 per K) of "
      "one.toml; "
      "glasses of different expansion crack each other; plan with one family");
}

TEST(Merge, RefusesAnotherExpansion) {
  Palette other = other_shelf();
  other.glass.expansion_per_k = 9.6e-6;
  EXPECT_EQ(complaint(other),
            "two.toml: expansion family \"A\" (9.6e-06 per K) cannot be mixed with \"A\" (9.1e-06 per K) of "
            "one.toml; "
            "glasses of different expansion crack each other; plan with one family");
}

TEST(Merge, RefusesAnotherDensity) {
  Palette other = other_shelf();
  other.glass.density = Density(3);
  EXPECT_EQ(complaint(other),
            "two.toml: its glass has another density than that of one.toml; plan with one kind of glass");
}

TEST(Merge, RefusesGlassesThatSoftenAtDifferentTemperatures) {
  for (Celsius GlassConstants::*point :
       {&GlassConstants::strain, &GlassConstants::annealing, &GlassConstants::softening}) {
    Palette other = other_shelf();
    (other.glass.*point) += Celsius(1);
    EXPECT_EQ(
        complaint(other),
        "two.toml: its glass has other strain, annealing or softening points than that of one.toml; plan "
        "with one kind of glass; where it is one, give both palettes the same [glass]");
  }
}

TEST(Merge, RefusesAnIdThatIsOnBoth) {
  Palette other = other_shelf();
  other.powders[1].id = "samphire";
  EXPECT_EQ(complaint(other), "two.toml: powder \"samphire\" is in one.toml too; give each its own id");
  other = other_shelf();
  other.sheets[0].id = "clear";
  EXPECT_EQ(complaint(other), "two.toml: sheet \"clear\" is in one.toml too; give each its own id");
}

// With three shelves, the message names the one that has the id already.
TEST(Merge, NamesTheShelfThatHasTheId) {
  Palette third = other_shelf();
  third.powders.erase(third.powders.begin());
  third.sheets[0].id = "third";
  try {
    merge({read(good_palette), other_shelf(), third}, {"one.toml", "two.toml", "three.toml"});
    FAIL();
  } catch (const Problem& problem) {
    EXPECT_STREQ(problem.what(), "three.toml: powder \"slate\" is in two.toml too; give each its own id");
  }
}

}  // namespace
}  // namespace powderplan
