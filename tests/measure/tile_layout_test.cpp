#include "measure/tile_layout.h"

#include <gtest/gtest.h>

#include <cmath>

#include "measure/shelf_for_tiles.h"
#include "property.h"

namespace powderplan {
namespace {

constexpr CardPage a4{210, 297}, letter{215.9, 279.4};

// How far apart two boxes are; 0 when they touch or overlap.
double apart(const BoxMm& a, const BoxMm& b) {
  const double x = std::max({0.0, a.left - b.right, b.left - a.right});
  const double y = std::max({0.0, a.top - b.bottom, b.top - a.bottom});
  return std::hypot(x, y);
}

BoxMm around(PointMm middle, double radius) {
  return {middle.x - radius, middle.y - radius, middle.x + radius, middle.y + radius};
}

BoxMm strip_pair(const std::vector<CellPlace>& row) {
  return {row.front().light.left - strip_edge, row.front().light.top - strip_edge,
          row.back().dark.right + strip_edge, row.back().dark.bottom + strip_edge};
}

TEST(TileLayout, NothingComesTooNearToAnythingElse) {
  holds_always([] {
    const CardPage page = any_whole(0, 1) == 0 ? a4 : letter;
    const auto rows = static_cast<std::size_t>(any_whole(1, 4));
    const auto cells = static_cast<std::size_t>(any_whole(3, 10));
    const CellSize size{any_between(8, widest_cell(page, cells)), any_between(10, highest_cell(page, rows))};
    const TileLayout layout = layout_of_tile(page, rows, cells, size);
    const CardWords words = words_of_card(page);

    std::vector<BoxMm> things{*layout.card.reference, words.head, words.beside};
    for (const PointMm& mark : layout.card.marks)
      things.push_back(around(mark, mark_clear));
    const std::size_t fixed = things.size();
    for (const auto& row : layout.rows)
      things.push_back(strip_pair(row));
    for (std::size_t i = 0; i < things.size(); ++i) {
      RC_ASSERT(things[i].left >= 5 && things[i].top >= 5);
      RC_ASSERT(things[i].right <= page.width - 5 && things[i].bottom <= page.height - 5);
      for (std::size_t j = 0; j < i; ++j)
        RC_ASSERT(apart(things[i], things[j]) > 0);
      if (i >= fixed)
        RC_ASSERT(things[i].left >= words.left + side_words);
      for (const BoxMm& white : layout.card.white)
        RC_ASSERT(apart(things[i], white) >= white_gap - 1e-9);
    }
    for (const BoxMm& white : layout.card.white) {
      RC_ASSERT(white.right - white.left >= 6 - 1e-9 && white.bottom - white.top >= 6 - 1e-9);
      RC_ASSERT(white.right <= words.left - white_gap + 1e-9 || white.left >= words.left + side_words ||
                white.bottom < layout.rows[0][0].light.top || white.top > layout.rows[0][0].light.top);
    }
  });
}

TEST(TileLayout, WhitePaperIsOnAllSidesAndBetweenRows) {
  for (const CardPage& page : {a4, letter}) {
    const TileLayout layout = layout_of_tile(page, 4, 6, {20, highest_cell(page, 4)});
    for (const auto& row : layout.rows) {
      const BoxMm glass = strip_pair(row);
      int left = 0, right = 0, above = 0, below = 0;
      for (const BoxMm& white : layout.card.white) {
        left += white.right < glass.left && white.top < glass.bottom && white.bottom > glass.top;
        right += white.left > glass.right && white.top < glass.bottom && white.bottom > glass.top;
        above += white.bottom < glass.top && glass.top - white.bottom < 5;
        below += white.top > glass.bottom && white.top - glass.bottom < 5;
      }
      EXPECT_GE(left, 1);
      EXPECT_GE(right, 1);
      EXPECT_GE(above, 3);
      EXPECT_GE(below, 3);
    }
  }
}

TEST(TileLayout, CellsKeepTheirSizeAndOrder) {
  const TileLayout layout = layout_of_tile(a4, 2, 6, {20, 24});
  ASSERT_EQ(layout.rows.size(), 2u);
  for (const auto& row : layout.rows) {
    ASSERT_EQ(row.size(), 6u);
    for (std::size_t i = 0; i < row.size(); ++i) {
      EXPECT_DOUBLE_EQ(row[i].light.right - row[i].light.left, 20);
      EXPECT_DOUBLE_EQ(row[i].light.bottom - row[i].light.top, 24);
      EXPECT_DOUBLE_EQ(row[i].dark.bottom - row[i].dark.top, 24);
      EXPECT_EQ(row[i].light.bottom, row[i].dark.top) << "edge to edge";
      if (i > 0) {
        EXPECT_DOUBLE_EQ(row[i].light.left - row[i - 1].light.right, cell_gap);
      }
    }
  }
}

TEST(TileLayout, TheUsualCellFitsForFourPowdersOrTenCellsAtMostSmaller) {
  for (const CardPage& page : {a4, letter}) {
    EXPECT_GE(widest_cell(page, 6), 20);
    EXPECT_GE(widest_cell(page, 10), 13);
    EXPECT_GE(highest_cell(page, 3), 24);
    EXPECT_GE(highest_cell(page, 4), 17);
  }
}

TEST(TileLayout, StripsReachBeyondTheirCells) {
  const TilePlan plan = marsh_tile({"saltpan-white"});
  const TileRow& row = plan.tile.rows.front();
  const StripPair strips = strips_of(row);
  EXPECT_EQ(strips.light.bottom, strips.dark.top);
  EXPECT_DOUBLE_EQ(strips.light.left, row.cells.front().light.left - strip_edge);
  EXPECT_DOUBLE_EQ(strips.dark.right, row.cells.back().dark.right + strip_edge);
  EXPECT_DOUBLE_EQ(strips.light.top, row.cells.front().light.top - strip_edge);
  EXPECT_DOUBLE_EQ(strips.dark.bottom, row.cells.front().dark.bottom + strip_edge);
}

}  // namespace
}  // namespace powderplan
