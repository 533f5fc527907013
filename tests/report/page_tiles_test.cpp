#include "report/page_tiles.h"

#include <gtest/gtest.h>

#include "property.h"
#include "stencils.h"

namespace powderplan {
namespace {

constexpr Millimetres width{190}, height{250}, overlap{10};

TEST(PageTiles, ASheetAsLargeAsThePageIsOneTile) {
  EXPECT_EQ(tiling_of(fixture::sheet(140, 200), width, height, overlap).tiles.size(), 1U);
  EXPECT_EQ(tiling_of(fixture::sheet(140.1, 200), width, height, overlap).tiles.size(), 2U);
  EXPECT_EQ(tiling_of(fixture::sheet(140, 200.1), width, height, overlap).tiles.size(), 2U);
  EXPECT_EQ(tiling_of(fixture::sheet(1, 1, 0), width, height, overlap).tiles.size(), 1U);
}

TEST(PageTiles, CoverTheSheetAndShareTheOverlap) {
  holds_always([] {
    const Stencil stencil = fixture::sheet(any_between(1, 2000), any_between(1, 2000), any_between(0, 40));
    const double sheet_width = stencil.width.value() + 2 * stencil.border.value();
    const double sheet_height = stencil.height.value() + 2 * stencil.border.value();
    const Tiling tiling = tiling_of(stencil, width, height, overlap);
    RC_ASSERT(tiling.tiles.size() == static_cast<std::size_t>(tiling.columns * tiling.rows));
    for (const PageTile& tile : tiling.tiles) {
      const BoxMm& box = tile.box;
      RC_ASSERT(box.right - box.left <= width.value() + 1e-6 &&
                box.right - box.left > (tile.column > 0 ? overlap.value() : 0));
      RC_ASSERT(box.bottom - box.top <= height.value() + 1e-6 &&
                box.bottom - box.top > (tile.row > 0 ? overlap.value() : 0));
      const bool last_column = tile.column + 1 == tiling.columns, last_row = tile.row + 1 == tiling.rows;
      // The next one begins an overlap before this one ends, and brings more than what both share.
      if (last_column)
        RC_ASSERT(std::abs(box.right - sheet_width) < 1e-6);
      else
        RC_ASSERT(std::abs((tile.column + 1) * tiling.step_x + overlap.value() - box.right) < 1e-6 &&
                  box.right < sheet_width);
      if (last_row)
        RC_ASSERT(std::abs(box.bottom - sheet_height) < 1e-6);
      else
        RC_ASSERT(std::abs((tile.row + 1) * tiling.step_y + overlap.value() - box.bottom) < 1e-6 &&
                  box.bottom < sheet_height);
    }
  });
}

TEST(PageTiles, KnowWhichHaveACut) {
  Stencil stencil = fixture::sheet(690, 890, 0);
  stencil.pins = {};
  const auto middle = [&] {
    const Tiling tiling = tiling_of(stencil, width, height, overlap);
    EXPECT_EQ(tiling.columns, 4);
    EXPECT_EQ(tiling.rows, 4);
    return tiling.tiles[5];  // column 1, row 1: 180 to 370 by 240 to 490
  };
  EXPECT_FALSE(middle().has_cut);
  stencil.openings = {fixture::box_shape(170, 230, 400, 500)};  // all round it
  EXPECT_FALSE(middle().has_cut);
  stencil.openings = {fixture::box_shape(170, 230, 369, 500)};
  EXPECT_TRUE(middle().has_cut);
  stencil.openings = {fixture::box_shape(200, 300, 210, 310)};
  EXPECT_TRUE(middle().has_cut);
  stencil.openings = {};
  stencil.pins = {{371, 300}};
  EXPECT_TRUE(middle().has_cut);
  stencil.pins = {{373, 300}};
  EXPECT_FALSE(middle().has_cut);
  for (const PageTile& tile : tiling_of(stencil, width, height, overlap).tiles) {
    const bool at_edge = tile.column % 3 == 0 || tile.row % 3 == 0;
    if (at_edge) {
      EXPECT_TRUE(tile.has_cut) << tile_name(tile.column, tile.row);
    }
  }
}

TEST(PageTiles, AreNamedLikeTheSquaresOfABoard) {
  EXPECT_EQ(tile_name(0, 0), "A1");
  EXPECT_EQ(tile_name(2, 11), "C12");
  EXPECT_EQ(tile_name(25, 0), "Z1");
  EXPECT_EQ(tile_name(26, 0), "AA1");
  EXPECT_EQ(tile_name(51, 0), "AZ1");
  EXPECT_EQ(tile_name(52, 0), "BA1");
}

}  // namespace
}  // namespace powderplan
