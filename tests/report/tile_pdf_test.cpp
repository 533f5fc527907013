#include "report/tile_pdf.h"

#include <gtest/gtest.h>

#include <string>

#include "measure/shelf_for_tiles.h"

namespace powderplan {
namespace {

// What is drawn where is measured by tests/outside/tile_check.py.
TEST(TilePdf, TheSameTileGivesTheSameBytes) {
  const TilePlan plan = marsh_tile({"saltpan-white", "deep-channel"});
  const std::vector<std::uint8_t> one = tile_pdf(plan.tile);
  EXPECT_EQ(one, tile_pdf(plan.tile));
  EXPECT_EQ(std::string(one.begin(), one.begin() + 5), "%PDF-");
  EXPECT_NE(one, tile_pdf(marsh_tile({"deep-channel"}).tile));
}

TEST(TilePdf, LongNamesAndManyCellsAreDrawnAllTheSame) {
  TileRules rules;
  rules.cells = 10;
  rules.scale = Grams(0.0001);
  Tile tile = marsh_tile({"saltpan-white", "creek-black", "marl-ochre", "deep-channel"}, rules).tile;
  tile.rows[0].name = std::string(300, 'W') + "\xff\x01";
  tile.light_sheet = std::string(48, 'w');
  EXPECT_FALSE(tile_pdf(tile).empty());
}

}  // namespace
}  // namespace powderplan
