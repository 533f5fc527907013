#include "report/corner_cards_pdf.h"

#include <gtest/gtest.h>

namespace powderplan {
namespace {

// What is drawn where is measured by tests/outside/corner_cards_test.cpp.
TEST(CornerCards, TheSamePaperGivesTheSameBytes) {
  EXPECT_EQ(corner_cards_pdf(paper_a4), corner_cards_pdf(paper_a4));
  EXPECT_NE(corner_cards_pdf(paper_a4), corner_cards_pdf(paper_letter));
}

}  // namespace
}  // namespace powderplan
