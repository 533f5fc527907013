#include "csv_table.h"

#include <gtest/gtest.h>

#include <cmath>

#include "problem.h"
#include "property.h"

namespace powderplan {
namespace {

constexpr Range any_number{-1e9, 1e9};

template <class Work>
std::string complaint(Work&& work) {
  try {
    work();
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    return problem.what();
  }
  return "none";
}

std::string complaint_about(const std::string& text) {
  return complaint([&] { const CsvTable table(text, "t.csv"); });
}

TEST(CsvTable, HasAHeadingAndRows) {
  const CsvTable table("a,b\n1,x\n2,y\n", "t.csv");
  EXPECT_EQ(table.heading(), (std::vector<std::string>{"a", "b"}));
  EXPECT_EQ(table.heading_line(), 1);
  ASSERT_EQ(table.rows().size(), 2u);
  EXPECT_EQ(table.rows()[1].cells, (std::vector<std::string>{"2", "y"}));
  EXPECT_EQ(table.rows()[1].line, 3);
  EXPECT_EQ(table.column("b"), 1u);
}

// RFC 4180, its section 2: quotes hold separators, line breaks and doubled quotes.
TEST(CsvTable, QuotesHoldEverything) {
  const CsvTable table("\"a\",b\r\n\"1,5\",\"say \"\"so\"\"\"\r\n\"two\nlines\", plain \r\n", "t.csv");
  EXPECT_EQ(table.heading()[0], "a");
  EXPECT_EQ(table.rows()[0].cells, (std::vector<std::string>{"1,5", "say \"so\""}));
  EXPECT_EQ(table.rows()[1].cells, (std::vector<std::string>{"two\nlines", "plain"}));
  EXPECT_EQ(table.rows()[1].line, 3);
}

TEST(CsvTable, LeavesOutEmptyRowsAndKeepsComments) {
  const CsvTable table("\n# measured in May\na,b\n\n,\n  # twice\n1,2\n", "t.csv");
  EXPECT_EQ(table.heading_line(), 3);
  ASSERT_EQ(table.rows().size(), 1u);
  EXPECT_EQ(table.rows()[0].line, 7);
  EXPECT_EQ(table.comments(), (std::vector<std::string>{"measured in May", "twice"}));
}

TEST(CsvTable, WhereSemicolonsPartTheCellsACommaIsTheDecimalMark) {
  const CsvTable table("a;b\n1,25;2.5\n", "t.csv");
  EXPECT_EQ(table.number(table.rows()[0], 0, any_number), 1.25);
  EXPECT_EQ(table.number(table.rows()[0], 1, any_number), 2.5);
  // A semicolon inside a quoted heading parts nothing.
  const CsvTable quoted("\"a;b\",c\n1,2\n", "t.csv");
  EXPECT_EQ(quoted.heading(), (std::vector<std::string>{"a;b", "c"}));
}

TEST(CsvTable, ReadsWholeNumbers) {
  const CsvTable table("a\n7\n7.5\n", "t.csv");
  EXPECT_EQ(table.whole(table.rows()[0], 0, any_number), 7);
  EXPECT_EQ(complaint([&] { (void)table.whole(table.rows()[1], 0, any_number); }),
            "t.csv:3: \"a\" is 7.5; write a whole number");
}

TEST(CsvTable, SaysWhatIsWrongAndWhere) {
  EXPECT_EQ(complaint_about(""), "t.csv: the table is empty; give it a heading and rows");
  EXPECT_EQ(complaint_about("# only words\n"), "t.csv: the table is empty; give it a heading and rows");
  EXPECT_EQ(complaint_about("a,b\n"), "t.csv: the table has a heading and no rows; add the rows");
  EXPECT_EQ(complaint_about("a,b\n1,2\n3\n"),
            "t.csv:3: 1 cells where the heading has 2; give every row as many as the heading");
  EXPECT_EQ(complaint_about("a,b\n1,2,3\n"),
            "t.csv:2: 3 cells where the heading has 2; give every row as many as the heading; where the comma is "
            "the decimal mark, part the cells of the heading and of all rows by semicolons");
  EXPECT_EQ(complaint_about("a,b\n1,\"2\n3,4\n"), "t.csv:2: a quote is opened and never closed; close it");
  EXPECT_EQ(complaint_about("a,b\n1,\"2\"3\n"),
            "t.csv:2: something stands between a closed quote and the end of its cell; put all of the cell "
            "between the quotes, and double the quotes inside");
  const CsvTable table("a,b,b\n1,x,inf\n", "t.csv");
  EXPECT_EQ(complaint([&] { (void)table.column("c"); }),
            "t.csv:1: there is no column \"c\"; the heading has a, b, b; name the column so");
  EXPECT_EQ(complaint([&] { (void)table.column("b"); }),
            "t.csv:1: two columns are named \"b\"; leave one out");
  EXPECT_EQ(complaint([&] { (void)table.number(table.rows()[0], 1, any_number); }),
            "t.csv:2: \"b\" is \"x\"; write a number");
  EXPECT_EQ(complaint([&] { (void)table.number(table.rows()[0], 2, any_number); }),
            "t.csv:2: \"b\" is \"inf\"; write a number");
  EXPECT_EQ(complaint([&] {
              (void)table.number(table.rows()[0], 0, {2, 3, "mm"});
            }),
            "t.csv:2: \"a\" is 1; it must be 2 to 3 mm");
}

// Whatever text a cell holds, quoting it as RFC 4180 says brings it back, and never anything but a Problem
// comes of what is no table.
TEST(CsvTable, GivesBackWhatWasQuoted) {
  holds_always([] {
    const auto cells = *rc::gen::container<std::vector<std::string>>(
        4, rc::gen::container<std::string>(rc::gen::elementOf(std::string("a,;\"\n\r# 1.é"))));
    std::string text = "h1,h2\n";
    for (std::size_t i = 0; i < cells.size(); ++i) {
      std::string quoted = "\"";
      for (const char c : cells[i])
        quoted += c == '"' ? std::string("\"\"") : std::string(1, c);
      text += quoted + "\"" + (i % 2 == 0 ? "," : "\n");
    }
    text += "last,row\n";
    const CsvTable table(text, "t.csv");
    std::size_t row = 0;
    for (std::size_t i = 0; i < cells.size(); i += 2) {
      if (cells[i].empty() && cells[i + 1].empty())
        continue;
      RC_ASSERT(table.rows()[row].cells == (std::vector<std::string>{cells[i], cells[i + 1]}));
      ++row;
    }
    RC_ASSERT(table.rows().size() == row + 1);
  });
  holds_always([] {
    const auto text = *rc::gen::container<std::string>(rc::gen::elementOf(std::string("a,;\"\n# 1")));
    try {
      const CsvTable table(text, "t.csv");
      for (const CsvTable::Row& row : table.rows())
        RC_ASSERT(row.cells.size() == table.heading().size());
    } catch (const Problem&) {
    }
  });
}

}  // namespace
}  // namespace powderplan
