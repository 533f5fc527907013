#include "report/page_column.h"

#include <gtest/gtest.h>

namespace powderplan {
namespace {

class Column : public ::testing::Test {
 protected:
  Column() : pdf_("trial") { pdf_.page(Millimetres(210), Millimetres(297)); }
  PdfDocument pdf_;
};

const std::string words = "Sift all of it in thin passes, each across the one before, over every opening.";

TEST_F(Column, IsDrawnAsHighAsItWasMeasured) {
  PageColumn column;
  column.heading("How", 4);
  column.add({.words = marked(words), .style = {.size = 4}, .above = 2});
  column.add({.words = marked(words), .style = {.size = 4}, .above = 2, .to_tick = true});
  for (const double width : {30.0, 80.0, 180.0})
    EXPECT_DOUBLE_EQ(column.draw(pdf_, {10, 20}, width), 20 + column.height(pdf_, width));
  EXPECT_GT(column.height(pdf_, 30), column.height(pdf_, 80));
}

TEST_F(Column, TheFirstParagraphHasNoRoomOverIt) {
  PageColumn with, without;
  with.add({.words = marked(words), .style = {.size = 4}, .above = 9});
  without.add({.words = marked(words), .style = {.size = 4}});
  EXPECT_DOUBLE_EQ(with.height(pdf_, 80), without.height(pdf_, 80));
}

TEST_F(Column, LooksOfPartsDifferInSize) {
  PageColumn column;
  column.add({{ParagraphKind::words, "tool", {"a"}},
              {ParagraphKind::words, "", {"a"}},
              {ParagraphKind::words, "why", {"a"}}},
             4);
  ASSERT_EQ(column.items().size(), 3U);
  EXPECT_GT(column.items()[0].style.size, column.items()[1].style.size);
  EXPECT_LT(column.items()[2].style.size, column.items()[1].style.size);
}

TEST_F(Column, TextIsCutToItsLines) {
  const PageText style{.size = 4};
  std::string text;
  for (int i = 0; i < 400; ++i)
    text += words + " ";
  for (const std::size_t lines : {1U, 2U, 7U}) {
    const std::string cut = within_lines(pdf_, text, 60, style, lines);
    EXPECT_DOUBLE_EQ(pdf_.paragraph_height(60, cut, style),
                     static_cast<double>(lines) * 4 * style.line_pitch);
    EXPECT_TRUE(cut.ends_with("\u2026"));
    EXPECT_TRUE(text.starts_with(cut.substr(0, cut.size() - 3)));
    // One letter more would not fit, or it was cut too early by no more than a word.
    EXPECT_GT(pdf_.paragraph_height(60, text.substr(0, cut.size() + 12), style),
              static_cast<double>(lines) * 4 * style.line_pitch + 1);
  }
  EXPECT_EQ(within_lines(pdf_, words, 60, style, 9), words);
  EXPECT_EQ(within_lines(pdf_, "", 60, style, 1), "");
}

TEST_F(Column, LettersGetSmallerUntilTheLinesHoldThem) {
  const PageText style{.size = 12, .weight = Weight::bold};
  EXPECT_EQ(in_lines(pdf_, "Dune", 150, style, 2).size, 12);
  const PageText smaller = in_lines(pdf_, words, 150, style, 2);
  EXPECT_LT(smaller.size, 12);
  EXPECT_LT(pdf_.paragraph_height(150, words, smaller), 2.5 * smaller.size * smaller.line_pitch);
  EXPECT_GE(in_lines(pdf_, std::string(3000, 'w'), 150, style, 2).size, 4);
}

}  // namespace
}  // namespace powderplan
