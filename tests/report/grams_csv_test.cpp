#include "report/grams_csv.h"

#include <gtest/gtest.h>

#include "report/fixture.h"

namespace powderplan {
namespace {

// RFC 4180 quoting; leading characters of formulas: OWASP, "CSV Injection".
TEST(CsvText, QuotesAndDisarms) {
  EXPECT_EQ(csv_text("Dune White"), "Dune White");
  EXPECT_EQ(csv_text(""), "");
  EXPECT_EQ(csv_text("a,b"), "\"a,b\"");
  EXPECT_EQ(csv_text("say \"x\""), "\"say \"\"x\"\"\"");
  EXPECT_EQ(csv_text("two\nlines\x1b"), "two lines ");
  for (const std::string start : {"=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20"})
    EXPECT_EQ(csv_text(start + "x"), "\"'" + start + "x\"");
  for (const std::string blank : {"\t", "\r", "\n", " "})
    EXPECT_EQ(csv_text(blank + "=x"), "\" '=x\"");
  EXPECT_EQ(csv_text("\"=x"), "\"\"\"'=x\"");
  EXPECT_EQ(csv_text("\u202e=x"), "\"'=x\"");
  EXPECT_EQ(csv_text("a=b-c"), "a=b-c");
  EXPECT_EQ(csv_text("\tx"), " x");
}

// Where spreadsheets part cells at semicolons, and take a quote within one for a letter.
TEST(CsvText, NoCellBehindASemicolonIsAFormula) {
  EXPECT_EQ(csv_text("=1+2\";=1+2"), "\"'=1+2\"\";'=1+2\"");
  EXPECT_EQ(csv_text("a; \"@b"), "\"a; \"\"'@b\"");
  EXPECT_EQ(csv_text("fine; coarse"), "\"fine; coarse\"");
}

TEST(GramsCsv, OneRecordForEachThing) {
  const PlanRecord plan = fixture::record();
  const std::string csv = grams_csv(plan);
  const auto count = [&](const std::string& what) {
    std::size_t found = 0;
    for (std::size_t at = csv.find(what); at != std::string::npos; at = csv.find(what, at + 1))
      ++found;
    return found;
  };
  std::size_t regions = 0;
  for (const Layer& layer : plan.layers)
    regions += layer.regions.size();
  EXPECT_EQ(csv.rfind("kind,firing,layer,", 0), 0u);
  EXPECT_EQ(count("\r\npowder,"), 3u);
  EXPECT_EQ(count("\r\nfiring,"), plan.firing_plan.firings.size());
  EXPECT_EQ(count("\r\nlayer,"), 4u);
  EXPECT_EQ(count("\r\nregion,"), regions);
  EXPECT_EQ(count("\r\n"), 1 + 3 + plan.firing_plan.firings.size() + 4 + regions);
}

}  // namespace
}  // namespace powderplan
