// Marks and paper round a piece of any size.
#include "photo/piece_card.h"

#include <gtest/gtest.h>

#include <cmath>

namespace powderplan {
namespace {

bool overlap(const BoxMm& a, const BoxMm& b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

TEST(PieceCard, CornerCardsTouchTheCornersOfThePiece) {
  const CardLayout card = piece_card(Millimetres(200), Millimetres(120));
  const std::array<PointMm, 4> corners{{{0, 0}, {200, 0}, {200, 120}, {0, 120}}};
  for (std::size_t i = 0; i < 4; ++i) {
    EXPECT_EQ(std::abs(card.marks[i].x - corners[i].x), corner_card_mm / 2) << i;
    EXPECT_EQ(std::abs(card.marks[i].y - corners[i].y), corner_card_mm / 2) << i;
    EXPECT_TRUE(card.marks[i].x < 0 || card.marks[i].x > 200) << i;
    EXPECT_TRUE(card.marks[i].y < 0 || card.marks[i].y > 120) << i;
  }
  EXPECT_LE(mark_clear, corner_card_mm / 2) << "the paper round a mark is on its card";
}

TEST(PieceCard, WhiteIsPaperOnly) {
  for (const auto& [w, h] : {std::pair{200.0, 120.0}, {60.0, 90.0}, {30.0, 30.0}, {1000.0, 20.0}}) {
    const CardLayout card = piece_card(Millimetres(w), Millimetres(h));
    ASSERT_FALSE(card.white.empty()) << w;
    const BoxMm piece{0, 0, w, h};
    for (const BoxMm& white : card.white) {
      EXPECT_LT(white.left, white.right);
      EXPECT_LT(white.top, white.bottom);
      EXPECT_FALSE(overlap(white, piece)) << w;
      EXPECT_FALSE(overlap(white, *card.reference)) << "a neutral card may lie there";
      for (const PointMm& mark : card.marks)
        EXPECT_FALSE(overlap(white, {mark.x - corner_card_mm / 2, mark.y - corner_card_mm / 2,
                                     mark.x + corner_card_mm / 2, mark.y + corner_card_mm / 2}));
      // On the paper that the printed page asks for.
      EXPECT_GE(white.left, -paper_beyond_mm);
      EXPECT_LE(white.right, w + paper_beyond_mm);
      EXPECT_GE(white.top, -paper_beyond_mm);
      EXPECT_LE(white.bottom, h + paper_beyond_mm);
    }
    EXPECT_FALSE(overlap(*card.reference, piece));
    EXPECT_LE(card.reference->bottom, h + paper_beyond_mm);
    EXPECT_LE(card.reference->right, w);
  }
}

TEST(PieceCard, WithoutMarksTheCornersOfThePieceServe) {
  const CardLayout card = piece_card_without_marks(Millimetres(200), Millimetres(120));
  EXPECT_EQ(card.marks[0].x, 0);
  EXPECT_EQ(card.marks[2].x, 200);
  EXPECT_EQ(card.marks[2].y, 120);
  EXPECT_EQ(card.white.size(), piece_card(Millimetres(200), Millimetres(120)).white.size());
}

}  // namespace
}  // namespace powderplan
