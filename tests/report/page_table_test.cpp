#include "report/page_table.h"

#include <gtest/gtest.h>

namespace powderplan {
namespace {

class Table : public ::testing::Test {
 protected:
  Table() : pdf_("trial") { pdf_.page(Millimetres(210), Millimetres(297)); }
  static PageTable made(const std::string& name) {
    PageTable table({{.heading = "step", .share = 0}, {"powder"}, {"lands", true}}, 4);
    for (const char* grams : {"1.2 g", "under 0.01 g"})
      table.add({{.words = marked("1"), .boxed = true}, {.words = marked(name)}, {.words = marked(grams)}});
    return table;
  }
  PdfDocument pdf_;
};

TEST_F(Table, FillsItsWidth) {
  PageTable table = made("Dune");
  for (const double width : {80.0, 180.0}) {
    table.measure(pdf_, width);
    EXPECT_TRUE(table.has_room());
    EXPECT_NEAR(table.width(), width, 1e-9);
  }
}

TEST_F(Table, SaysWhenWordsHaveNoRoom) {
  PageTable table = made("Dune");
  table.measure(pdf_, 50);
  EXPECT_FALSE(table.has_room());
}

TEST_F(Table, RowsGrowWithTheirWordsAndAddUp) {
  PageTable narrow = made("A name that takes more lines than one in a table so narrow");
  narrow.measure(pdf_, 90);
  PageTable wide = made("Dune");
  wide.measure(pdf_, 90);
  EXPECT_GT(narrow.row_height(pdf_, 0), 2 * wide.row_height(pdf_, 0) - 4);
  EXPECT_DOUBLE_EQ(narrow.height(pdf_),
                   narrow.head_height(pdf_) + narrow.row_height(pdf_, 0) + narrow.row_height(pdf_, 1));
  EXPECT_DOUBLE_EQ(narrow.draw(pdf_, {10, 20}), 20 + narrow.height(pdf_));
}

}  // namespace
}  // namespace powderplan
