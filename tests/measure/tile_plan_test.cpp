#include "measure/tile_plan.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "measure/shelf_for_tiles.h"
#include "measure/tile_loads.h"
#include "problem.h"

namespace powderplan {
namespace {

double cell_area(const TileCell& cell) {
  return ((cell.light.right - cell.light.left) * (cell.light.bottom - cell.light.top) +
          (cell.dark.right - cell.dark.left) * (cell.dark.bottom - cell.dark.top)) /
         100;
}

void expect_sound(const TilePlan& plan, const TileRules& rules, const std::string& what) {
  for (const TileRow& row : plan.tile.rows) {
    ASSERT_EQ(row.cells.size(), rules.cells) << what;
    EXPECT_EQ(row.cells.front().grams, Grams(0)) << what;
    EXPECT_EQ(row.cells.front().load, Load(0)) << what;
    for (std::size_t i = 1; i < row.cells.size(); ++i) {
      const TileCell& cell = row.cells[i];
      const double steps = cell.grams / rules.scale;
      EXPECT_NEAR(steps, std::round(steps), 1e-6) << what << ": a scale can show it";
      EXPECT_GE(std::lround(steps), least_steps) << what;
      EXPECT_GT(cell.grams, row.cells[i - 1].grams) << what << ": no two the same";
      EXPECT_NEAR(cell.load.value(), cell.grams.value() / cell_area(cell), 1e-12) << what;
    }
    EXPECT_LE(row.cells.back().load.value(), full_load.value() + 0.5 * rules.scale.value() / 9) << what;
  }
}

void expect_refused(const std::vector<std::string>& powders, const TileRules& rules, const std::string& line,
                    const Palette& palette = marsh_shelf()) {
  try {
    plan_tile(palette, powders, rules, "shelf.toml");
    ADD_FAILURE() << "not refused: " << line;
  } catch (const Problem& problem) {
    EXPECT_STREQ(problem.what(), line.c_str());
  }
}

TEST(TilePlan, EveryPowderOfTheShelfGetsATile) {
  for (const Powder& powder : marsh_shelf().powders)
    for (const double width : {210.0, 215.9})
      for (const Finish finish : {Finish::tack, Finish::contour, Finish::full}) {
        TileRules rules;
        rules.finish = finish;
        if (width > 210)
          rules.page = {215.9, 279.4};
        expect_sound(marsh_tile({powder.id}, rules), rules, powder.id);
      }
}

TEST(TilePlan, AFinerScaleFollowsTheSmallestLoads) {
  TileRules rules;
  rules.scale = Grams(0.001);
  const TilePlan fine = marsh_tile({"saltpan-white"}, rules);
  expect_sound(fine, rules, "0.001 g");
  EXPECT_TRUE(fine.notes.empty()) << fine.notes.front();
  EXPECT_EQ(fine.cell.width, 20);
  EXPECT_EQ(fine.cell.height, 24);
}

TEST(TilePlan, TheFinestScaleIsNeverTooCoarse) {
  for (const Powder& powder : marsh_shelf().powders)
    for (const std::size_t cells : {3, 7, 10}) {
      TileRules rules;
      rules.cells = cells;
      rules.scale = Grams(tile_scales.least);
      expect_sound(marsh_tile({powder.id}, rules), rules, powder.id);
    }
}

TEST(TilePlan, CellsGrowWhereTheScaleAsksForIt) {
  const TilePlan plan = marsh_tile({"saltpan-white"});
  EXPECT_GT(plan.cell.width * plan.cell.height, 20 * 24);
  ASSERT_EQ(plan.notes.size(), 1u);
  EXPECT_NE(plan.notes.front().find("cells have grown"), std::string::npos) << plan.notes.front();
  EXPECT_GE(plan.tile.rows[0].cells[1].grams, Grams(0.05));
}

TEST(TilePlan, FourPowdersAndTenCellsFit) {
  TileRules rules;
  rules.cells = 10;
  rules.scale = Grams(0.001);
  const TilePlan plan = marsh_tile({"saltpan-white", "creek-black", "marl-ochre", "reed-gold"}, rules);
  expect_sound(plan, rules, "ten cells");
  EXPECT_EQ(plan.tile.rows.size(), 4u);
  EXPECT_EQ(plan.tile.rows[2].name, "Marl Ochre");
}

TEST(TilePlan, TakesTheLightestAndTheDarkestOpaqueSheetOrThoseAskedFor) {
  const TilePlan plan = marsh_tile({"saltpan-white"});
  EXPECT_EQ(plan.tile.light_sheet, "white");
  EXPECT_EQ(plan.tile.dark_sheet, "black");
  expect_refused({"saltpan-white"}, {.light = std::string("clear")},
                 "--light: the sheet \"clear\" is transparent; choose an opaque one: below clear glass the "
                 "paper shows, with air between");
  expect_refused({"saltpan-white"}, {.dark = std::string("blak")},
                 "--dark: there is no sheet \"blak\" on the shelf; did you mean black?");
  Palette clear_only = marsh_shelf();
  std::erase_if(clear_only.sheets, [](const Sheet& s) { return s.body == Body::opalescent; });
  expect_refused(
      {"saltpan-white"}, {},
      "shelf.toml: the shelf has no opaque sheet to lay a tile on; add a light and a dark sheet of "
      "this family with body = \"opalescent\", e.g. white and black",
      clear_only);
  Palette white_only = marsh_shelf();
  std::erase_if(white_only.sheets, [](const Sheet& s) { return s.id != "white"; });
  try {
    plan_tile(white_only, {"saltpan-white"}, {}, "shelf.toml");
    ADD_FAILURE();
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    EXPECT_NE(problem.wrong().find("differ by less than 30"), std::string::npos) << problem.what();
  }
}

// What it says would do, does.
TEST(TilePlan, SaysWhatWouldDoWhereTheScaleIsTooCoarse) {
  const auto advised = [](const TileRules& rules, const std::string& flag) {
    try {
      marsh_tile({"creek-black"}, rules);
    } catch (const Problem& problem) {
      EXPECT_EQ(problem.place(), "--scale-g");
      EXPECT_NE(problem.wrong().find("is too coarse for creek-black"), std::string::npos);
      const std::size_t at = problem.remedy().find(flag);
      EXPECT_NE(at, std::string::npos) << problem.remedy();
      return at == std::string::npos ? 0.0 : std::stod(problem.remedy().substr(at + flag.size()));
    }
    ADD_FAILURE() << "not refused";
    return 0.0;
  };
  TileRules rules;
  rules.scale = Grams(1);
  rules.scale = Grams(advised(rules, "(--scale-g "));
  EXPECT_LT(rules.scale, Grams(1));
  expect_sound(marsh_tile({"creek-black"}, rules), rules, "a finer scale");

  rules.scale = Grams(0.1);
  rules.cell_width = Millimetres(12);
  rules.cell_width = Millimetres(advised(rules, "(--cell-mm "));
  EXPECT_GT(rules.cell_width, Millimetres(12));
  expect_sound(marsh_tile({"creek-black"}, rules), rules, "larger cells");

  rules.cell_width = Millimetres(12);
  rules.cells = static_cast<std::size_t>(advised(rules, "(--cells "));
  EXPECT_LT(rules.cells, 6u);
  expect_sound(marsh_tile({"creek-black"}, rules), rules, "fewer cells");
}

TEST(TilePlan, AKitchenScaleShowsLessOfTheThinEndAndItSaysSo) {
  TileRules rules;
  rules.scale = Grams(0.1);
  const TilePlan plan = marsh_tile({"saltpan-white"}, rules);
  expect_sound(plan, rules, "0.1 g");
  ASSERT_FALSE(plan.notes.empty());
  EXPECT_NE(plan.notes.back().find("a finer scale would show more of the thin end"), std::string::npos);
}

TEST(TilePlan, RefusesWhatItCannotPlan) {
  expect_refused(
      {}, {}, "--powder: no powder is named; it has " + [] {
        std::string ids;
        for (const Powder& powder : marsh_shelf().powders)
          ids += (ids.empty() ? "" : ", ") + powder.id;
        return ids;
      }());
  expect_refused({"creek-blak"}, {},
                 "--powder: there is no powder \"creek-blak\" on the shelf; did you mean creek-black?");
  expect_refused({"creek-black", "creek-black"}, {},
                 "--powder: \"creek-black\" is named twice; name each once");
  expect_refused({"a", "b", "c", "d", "e"}, {},
                 "--powder: 5 powders do not fit on one card; name at most 4, and plan another tile for the "
                 "others");
  expect_refused({"creek-black"}, {.cells = 2}, "--cells: 2 is out of range; it must be 3 to 10");
  expect_refused({"creek-black"}, {.scale = Grams(std::nan(""))},
                 "--scale-g: nan is out of range; it must be 0.0001 to 1 g");
  expect_refused({"creek-black"}, {.finish = Finish::unfired},
                 "--finish: an unfired tile shows nothing of the fired colour; choose tack, contour or full");
  expect_refused(
      {"creek-black"}, {.cell_width = Millimetres(40)},
      "--cell-mm: 7 cells of 40 mm are wider than the card; at most 20.5 mm fit, or take fewer cells");
}

}  // namespace
}  // namespace powderplan
