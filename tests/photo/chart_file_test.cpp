#include "photo/chart_file.h"

#include <gtest/gtest.h>

#include <fstream>

#include "problem.h"
#include "report/temporary_folder.h"

namespace powderplan {
namespace {

std::string refusal_of(const std::string& text) {
  try {
    parse_chart(text, "chart.csv");
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    EXPECT_FALSE(problem.remedy().empty());
    return problem.place() + ": " + problem.wrong();
  }
  return "accepted";
}

TEST(ChartFile, PatchesRowByRow) {
  const ChartReference chart = parse_chart(
      "# white D65\nrow,column,l,a,b\n2,1,50,0,0\n1,1,100,0,0\n1,2,50,20,-30\n\n2,2, 20.5 ,1,-1\n",
      "chart.csv");
  EXPECT_EQ(chart.rows, 2);
  EXPECT_EQ(chart.columns, 2);
  ASSERT_EQ(chart.patches.size(), 4u);
  EXPECT_NEAR(chart.patches[0].x, white_d65.x, 1e-12);
  EXPECT_NEAR(chart.patches[0].z, white_d65.z, 1e-12);
  EXPECT_NEAR(to_lab(chart.patches[1]).b, -30, 1e-9);
  EXPECT_NEAR(to_lab(chart.patches[3]).l, 20.5, 1e-9);
}

// White is white under either light; without a word it is D50.
TEST(ChartFile, LabUnderD50IsAdapted) {
  for (const std::string first : {"", "# white D50\n", "\xef\xbb\xbf# white D50\r\n"}) {
    const ChartReference chart =
        parse_chart(first + "row,column,l,a,b\r\n1,1,100,0,0\r\n1,2,60,40,50\r\n", "chart.csv");
    EXPECT_NEAR(chart.patches[0].x, white_d65.x, 1e-9);
    EXPECT_NEAR(chart.patches[0].z, white_d65.z, 1e-9);
    const Lab adapted = to_lab(chart.patches[1]);
    EXPECT_GT(std::abs(adapted.b - 50), 0.3);
    EXPECT_NEAR(adapted.l, 60, 1);
  }
}

TEST(ChartFile, AsSpreadsheetsWriteItWhereTheCommaIsTheDecimalMark) {
  const ChartReference chart = parse_chart("row;column;l;a;b\n1;1;20,5;1;-1\n", "chart.csv");
  EXPECT_NEAR(to_lab(chart.patches.at(0)).l, 20.5, 0.2);  // adapted from D50
}

TEST(ChartFile, MessagesNameTheLine) {
  EXPECT_EQ(refusal_of(""), "chart.csv: the table is empty");
  EXPECT_EQ(refusal_of("r,c,L,a,b\n1,1,50,0,0\n"), "chart.csv:1: there is no column \"row\"");
  EXPECT_EQ(refusal_of("# white A\nrow,column,l,a,b\n1,1,50,0,0\n"),
            "chart.csv:2: \"white A\" above it does not say a white that is known");
  EXPECT_EQ(refusal_of("row,column,l,a,b\n"), "chart.csv: the table has a heading and no rows");
  EXPECT_EQ(refusal_of("row,column,l,a,b\n1,1,50,0\n"), "chart.csv:2: 4 cells where the heading has 5");
  EXPECT_EQ(refusal_of("row,column,l,a,b\n1,1,50,x,0\n"), "chart.csv:2: \"a\" is \"x\"");
  EXPECT_EQ(refusal_of("row,column,l,a,b\n1,1,nan,0,0\n"), "chart.csv:2: \"l\" is \"nan\"");
  EXPECT_EQ(refusal_of("row,column,l,a,b\n1,1,150,0,0\n"), "chart.csv:2: \"l\" is 150");
  EXPECT_EQ(refusal_of("row,column,l,a,b\n0,1,50,0,0\n"), "chart.csv:2: \"row\" is 0");
  EXPECT_EQ(refusal_of("row,column,l,a,b\n1,1.5,50,0,0\n"), "chart.csv:2: \"column\" is 1.5");
  EXPECT_EQ(refusal_of("row,column,l,a,b\n1,1,50,0,0\n1,1,40,0,0\n"),
            "chart.csv:3: the patch of row 1, column 1 is there twice");
  EXPECT_EQ(refusal_of("row,column,l,a,b\n1,1,50,0,0\n2,2,40,0,0\n"),
            "chart.csv:3: the patch of row 1, column 2 is missing");
}

TEST(ChartFile, FromAFile) {
  const TemporaryFolder folder;
  const auto file = folder.path() / "chart.csv";
  std::ofstream(file) << "row,column,l,a,b\n1,1,50,0,0\n";
  EXPECT_EQ(read_chart(file).patches.size(), 1u);
  EXPECT_THROW(read_chart(folder.path() / "none.csv"), Problem);
  EXPECT_THROW(read_chart(folder.path()), Problem);
}

}  // namespace
}  // namespace powderplan
