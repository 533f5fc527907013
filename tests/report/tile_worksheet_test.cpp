#include "report/tile_worksheet.h"

#include <gtest/gtest.h>

#include <algorithm>

#include "firing/schedule.h"
#include "measure/shelf_for_tiles.h"
#include "optics/finish.h"

namespace powderplan {
namespace {

TEST(TileWorksheet, SaysWhatToCutWeighFireAndBeware) {
  const TilePlan plan = marsh_tile({"saltpan-white", "deep-channel"});
  const std::string page = tile_worksheet(marsh_shelf(), plan, "1.2.3");
  for (const char* words :
       {"2 strips</b> of <b>White", "2 strips</b> of <b>Black", "Saltpan White and Deep Channel",
        "P100 or N95", "extraction", "kiln's manual", "Cut edges", "One expansion family: family-a", "collar",
        "no flash", "Grey card", "powderplan 1.2.3"})
    EXPECT_NE(page.find(words), std::string::npos) << words;
  EXPECT_EQ(page.find("{{"), std::string::npos);
  std::size_t cells = 0;
  for (std::size_t at = page.find("class=\"grams\""); at != std::string::npos;
       at = page.find("class=\"grams\"", at + 1))
    ++cells;
  EXPECT_EQ(cells, 14u);
}

TEST(TileWorksheet, NamesAreTextAndNothingElse) {
  Palette shelf = marsh_shelf();
  shelf.powders[0].name = "<b>\"&\x01 white</b>";
  const TilePlan plan = plan_tile(shelf, {shelf.powders[0].id}, {}, "shelf.toml");
  const std::string page = tile_worksheet(shelf, plan, "1");
  EXPECT_EQ(page.find("<b>\"&"), std::string::npos);
  EXPECT_NE(page.find("&lt;b&gt;&quot;&amp;  white&lt;/b&gt;"), std::string::npos);
  for (const char* from_elsewhere : {"http:", "https:", "src=", "url("})
    EXPECT_EQ(page.find(from_elsewhere), std::string::npos) << from_elsewhere;
}

TEST(TileWorksheet, TheScheduleReachesTheFinishThatWasAskedFor) {
  for (const Finish finish : {Finish::tack, Finish::contour, Finish::full}) {
    TileRules rules;
    rules.finish = finish;
    const Palette& shelf = marsh_shelf();
    const Tile tile = marsh_tile({"marl-ochre"}, rules).tile;
    const Millimetres flow = flow_of(schedule_of_tile(shelf, tile), ViscosityCurve(shelf.glass));
    EXPECT_EQ(finish_reached(flow, shelf.find_powder("marl-ochre")->optics.grain), finish);
  }
}

TEST(TileWorksheet, TheScheduleIsForTheThickerSheetAndTheHeaviestCell) {
  Palette shelf = marsh_shelf();
  for (Sheet& sheet : shelf.sheets)
    if (sheet.id == "black")
      sheet.thickness = Millimetres(6);
  const TilePlan plan = plan_tile(shelf, {"marl-ochre"}, {}, "shelf.toml");
  Load heaviest;
  for (const TileCell& cell : plan.tile.rows.front().cells)
    heaviest = std::max(heaviest, cell.load);
  ASSERT_GT(heaviest, Load(0.1));
  // In mm: ten times g/cm2 through g/cm3.
  EXPECT_NEAR(thickness_of_tile(shelf, plan.tile).value(),
              6 + 10 * heaviest.value() / shelf.glass.density.value(), 1e-9);
  EXPECT_GT(hours_of(schedule_of_tile(shelf, plan.tile)),
            hours_of(schedule_of_tile(marsh_shelf(), marsh_tile({"marl-ochre"}).tile)));
}

}  // namespace
}  // namespace powderplan
