#include "report/worksheet.h"

#include <gtest/gtest.h>

#include "parallel.h"
#include "report/fixture.h"
#include "report/pages.h"

namespace powderplan {
namespace {

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

TEST(Worksheet, NamesStayText) {
  const std::string html = worksheet(fixture::record());
  EXPECT_FALSE(holds(html, fixture::wild_name));
  EXPECT_FALSE(holds(html, "<i>marks</i>"));
  EXPECT_TRUE(holds(html, "&lt;b&gt;&amp;&quot;&apos;\xf0\x9f\x98\x80 {{title}}"));
  EXPECT_FALSE(holds(html, "http:") || holds(html, "https:"));
  EXPECT_FALSE(holds(html, "<script"));
}

TEST(Worksheet, ControlCharactersAndBrokenBytesAreMended) {
  PlanRecord plan = fixture::record();
  plan.palette.powders[0].name = std::string("Nul\0 bell\x07 \xff", 12);
  const std::string html = worksheet(plan);
  EXPECT_EQ(html.find('\0'), std::string::npos);
  EXPECT_EQ(html.find('\x07'), std::string::npos);
  EXPECT_EQ(html.find('\xff'), std::string::npos);
}

TEST(Worksheet, ShowsWhatIsShort) {
  const std::string html = worksheet(fixture::record());  // the jar of green holds 0.2 g
  EXPECT_TRUE(holds(html, "A jar does not hold enough"));
  PlanRecord plan = fixture::record();
  plan.palette.powders[1].stock = Grams(1000);
  plan.weights = weigh(plan.separation, plan.layers, plan.palette, plan.weigh_rules);
  EXPECT_FALSE(holds(worksheet(plan), "A jar does not hold enough"));
}

TEST(Worksheet, SaysHowEachTechniqueIsDone) {
  PlanRecord plan = fixture::record();
  plan.layers[1].technique = Technique::fade;
  plan.layers[2].technique = Technique::line;
  plan.firing_plan.places[3].raised = true;
  const std::string html = worksheet(plan);
  EXPECT_TRUE(holds(html, "<b>fade</b> by hand"));
  EXPECT_TRUE(holds(html, "<b>lines</b> by hand"));
  EXPECT_TRUE(holds(html, "<b>raised on spacers</b>"));
  EXPECT_TRUE(holds(html, "flat on the glass"));
}

TEST(Worksheet, WarnsOnEveryPageWithARisk) {
  const PlanRecord plan = fixture::record();
  const std::string html = worksheet(plan);
  const auto count = [&](const std::string& what) {
    std::size_t found = 0;
    for (std::size_t at = html.find(what); at != std::string::npos; at = html.find(what, at + 1))
      ++found;
    return found;
  };
  EXPECT_EQ(count("Respirator on."), plan.layers.size());
  EXPECT_EQ(count("Computed starting point."), plan.firing_plan.firings.size());
}

TEST(Worksheet, TheSameBytesWhateverTheThreads) {
  const ThreadCount one(1);
  const std::string alone = worksheet(fixture::record());
  const ThreadCount five(5);
  EXPECT_EQ(worksheet(fixture::record()), alone);
}

TEST(Worksheet, APlanWithoutLayersHasItsOpeningPages) {
  PlanRecord plan = fixture::record();
  plan.layers.clear();
  plan.firing_plan = {};
  plan.weights = {};
  EXPECT_TRUE(holds(worksheet(plan), "Before the first step"));
}

TEST(Pages, UnknownOnesAreEmpty) {
  EXPECT_TRUE(page_named("no-such-page.html").empty());
  EXPECT_TRUE(page_named("step.html").starts_with("<section"));
}

}  // namespace
}  // namespace powderplan
