#include "glass/expansion.h"

#include <gtest/gtest.h>

#include "glass/good_palette.h"
#include "problem.h"

namespace powderplan {
namespace {

std::string complaint(const std::string& text) {
  try {
    parse_palette(text, "shelf.toml");
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    return problem.what();
  }
  return "none";
}

std::string with_powder(const std::string& expansion) {
  return changed("grain_mm = 0.08", "grain_mm = 0.08\nexpansion_per_k = " + expansion);
}
std::string with_sheet(const std::string& expansion, const std::string& text = good_palette) {
  return changed("thickness_mm = 4", "thickness_mm = 4\nexpansion_per_k = " + expansion, text);
}

TEST(Expansion, OfGlassesThatStateNoneIsThatOfThePalette) {
  const Palette shelf = parse_palette(good_palette, "shelf.toml");
  EXPECT_FALSE(shelf.powders[0].expansion_per_k);
  EXPECT_FALSE(shelf.sheets[0].expansion_per_k);
  EXPECT_TRUE(mismatches_of(shelf).empty());
  // Stated alike is alike.
  EXPECT_TRUE(mismatches_of(parse_palette(with_powder("9.1e-6"), "shelf.toml")).empty());
}

TEST(Expansion, OfOnePowderMismatchesAllThatItTouches) {
  const Palette shelf = parse_palette(with_powder("9.4e-6"), "shelf.toml");
  ASSERT_TRUE(shelf.powders[0].expansion_per_k);
  EXPECT_EQ(*shelf.powders[0].expansion_per_k, 9.4e-6);
  const std::vector<MismatchedPair> pairs = mismatches_of(shelf);
  ASSERT_EQ(pairs.size(), 2u);
  EXPECT_EQ(pairs[0].one, "samphire");
  EXPECT_EQ(pairs[0].other, "inkwell");
  EXPECT_EQ(pairs[1].other, "clear");
  for (const MismatchedPair& pair : pairs)  // 0.3e-6 per K from 481 to 20 C
    EXPECT_NEAR(pair.mismatch.ppm, 0.3 * 461, 1e-6);
}

TEST(Expansion, OfASheetMismatchesEveryPowder) {
  const std::vector<MismatchedPair> pairs = mismatches_of(parse_palette(with_sheet("9.0e-6"), "shelf.toml"));
  ASSERT_EQ(pairs.size(), 2u);
  EXPECT_EQ(pairs[0].one, "samphire");
  EXPECT_EQ(pairs[1].one, "inkwell");
}

TEST(Expansion, NothingIsLeftOfItBelowRoomTemperature) {
  EXPECT_EQ(mismatch_of(9e-6, 8e-6, room_temperature).ppm, 0);
  EXPECT_EQ(mismatch_of(9e-6, 8e-6, Celsius(0)).stress_mpa, 0);
  EXPECT_EQ(mismatch_of(9e-6, 9e-6, Celsius(500)).ppm, 0);
}

TEST(Expansion, IsTheSameFromEitherSide) {
  EXPECT_EQ(mismatch_of(9e-6, 8.5e-6, Celsius(500)).ppm, mismatch_of(8.5e-6, 9e-6, Celsius(500)).ppm);
}

TEST(Expansion, TooFarApartIsRefusedWithBothNames) {
  EXPECT_EQ(complaint(with_powder("9.7e-6")), "none");  // 277 ppm
  EXPECT_EQ(
      complaint(with_powder("9.9e-6")),
      "shelf.toml:29: powder \"inkwell\" (expansion 9.1e-06 per K) and powder \"samphire\" (9.9e-06 per "
      "K) shrink differently by 369 ppm, 32 MPa; above 300 ppm glass is likely to fracture; correct "
      "'expansion_per_k', or keep the two in separate palettes");
  EXPECT_EQ(
      complaint(with_sheet("8.3e-6")),
      "shelf.toml:39: sheet \"clear\" (expansion 8.3e-06 per K) and powder \"samphire\" (9.1e-06 per K) "
      "shrink differently by 369 ppm, 32 MPa; above 300 ppm glass is likely to fracture; correct "
      "'expansion_per_k', or keep the two in separate palettes");
  // Each near the palette's own, but too far from the other.
  EXPECT_EQ(
      complaint(with_sheet("8.7e-6", with_powder("9.5e-6"))),
      "shelf.toml:40: sheet \"clear\" (expansion 8.7e-06 per K) and powder \"samphire\" (9.5e-06 per K) "
      "shrink differently by 369 ppm, 32 MPa; above 300 ppm glass is likely to fracture; correct "
      "'expansion_per_k', or keep the two in separate palettes");
}

TEST(Expansion, TooFarApartIsRefusedAcrossShelves) {
  const Palette one = parse_palette(with_powder("9.5e-6"), "one.toml");
  Palette two = parse_palette(good_palette, "two.toml");
  two.powders[0].id = "ochre";
  two.powders[1].id = "slate";
  two.sheets[0].id = "white";
  EXPECT_EQ(merge({one, two}, {"one.toml", "two.toml"}).powders.size(), 4u);
  two.powders[1].expansion_per_k = 8.7e-6;
  try {
    merge({one, two}, {"one.toml", "two.toml"});
    FAIL();
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    EXPECT_STREQ(problem.what(),
                 "two.toml: powder \"slate\" (expansion 8.7e-06 per K) and powder \"samphire\" (9.5e-06 per "
                 "K) shrink differently by 369 ppm, 32 MPa; above 300 ppm glass is likely to fracture; "
                 "correct 'expansion_per_k', or keep the two in separate palettes");
  }
}

TEST(Expansion, NumbersThatNoGlassHas) {
  EXPECT_EQ(complaint(with_powder("9.1")),
            "shelf.toml:21: [[powder]] samphire: 'expansion_per_k' is 9.1; it must be 1e-07 to 2e-05");
  EXPECT_EQ(complaint(with_sheet("nan")),
            "shelf.toml:39: [[sheet]] clear: 'expansion_per_k' is nan; it must be 1e-07 to 2e-05");
}

}  // namespace
}  // namespace powderplan
