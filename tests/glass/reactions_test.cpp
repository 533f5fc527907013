#include "glass/reactions.h"

#include <gtest/gtest.h>

#include "glass/good_palette.h"
#include "spoken.h"

namespace powderplan {
namespace {

using Words = std::vector<std::string>;

Palette shelf(const std::vector<std::pair<Words, Words>>& powders,
              const std::vector<std::pair<Words, Words>>& sheets = {}) {
  Palette palette;
  for (const auto& [carries, reacts_with] : powders) {
    Powder powder;
    powder.carries = carries;
    powder.reacts_with = reacts_with;
    palette.powders.push_back(powder);
  }
  for (const auto& [carries, reacts_with] : sheets) {
    Sheet sheet;
    sheet.carries = carries;
    sheet.reacts_with = reacts_with;
    palette.sheets.push_back(sheet);
  }
  return palette;
}

TEST(Reactions, GoInEitherDirection) {
  const std::vector<Reaction> one_way{{0, 1, {}, {"sulphur"}}};
  EXPECT_EQ(reactions_of(shelf({{{"sulphur"}, {}}, {{}, {"sulphur"}}})), one_way);
  EXPECT_EQ(reactions_of(shelf({{{}, {"sulphur"}}, {{"sulphur"}, {}}})), one_way);
}

TEST(Reactions, NameEveryCauseOnce) {
  EXPECT_EQ(reactions_of(shelf({{{"sulphur", "selenium"}, {"copper", "lead"}},
                                {{"copper"}, {"Selenium", "SULPHUR", "sulphur"}}})),
            (std::vector<Reaction>{{0, 1, {}, {"copper", "selenium", "sulphur"}}}));
}

TEST(Reactions, NeedACarrierAndAPartner) {
  EXPECT_TRUE(reactions_of(shelf({{{"sulphur"}, {}}, {{"sulphur"}, {}}})).empty());
  EXPECT_TRUE(reactions_of(shelf({{{}, {"copper"}}, {{}, {"copper"}}})).empty());
  EXPECT_TRUE(reactions_of(shelf({{{"lead"}, {"lead"}}})).empty());  // a powder with itself
  EXPECT_TRUE(reactions_of(shelf({})).empty());
}

TEST(Reactions, OfPowdersWithSheetsComeLast) {
  EXPECT_EQ(reactions_of(shelf({{{"copper"}, {}}, {{}, {"copper"}}}, {{{}, {}}, {{}, {"copper"}}})),
            (std::vector<Reaction>{{0, 1, {}, {"copper"}}, {0, {}, 1, {"copper"}}}));
}

TEST(Reactions, AreReadFromAPalette) {
  const Palette palette = parse_palette(
      changed("thickness_mm = 4", "carries = [\"lead\"]\nreacts_with = [\"tin\"]\nthickness_mm = 4"),
      "shelf.toml");
  EXPECT_EQ(palette.sheets[0].carries, Words{"lead"});
  EXPECT_EQ(palette.sheets[0].reacts_with, Words{"tin"});
  EXPECT_EQ(reactions_of(palette), (std::vector<Reaction>{{0, {}, 0, {"lead"}}}));
}

TEST(Reactions, InWords) {
  EXPECT_EQ(spoken({}), "");
  EXPECT_EQ(spoken({"lead"}), "lead");
  EXPECT_EQ(spoken({"copper", "sulphur"}), "copper and sulphur");
  EXPECT_EQ(spoken({"copper", "lead", "sulphur"}), "copper, lead and sulphur");
}

}  // namespace
}  // namespace powderplan
