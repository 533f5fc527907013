#include "report/swatch_chart.h"

#include <gtest/gtest.h>

#include <set>

#include "parallel.h"
#include "problem.h"
#include "report/fixture.h"

namespace powderplan {
namespace {

TEST(SwatchChart, GrowsWithTheShelf) {
  Palette shelf = fixture::shelf();
  const Image<Rgb8> small = swatch_chart(shelf);
  shelf.powders.push_back(shelf.powders[0]);
  shelf.sheets.push_back(shelf.sheets[0]);
  const Image<Rgb8> large = swatch_chart(shelf);
  EXPECT_GT(large.height(), small.height());
  EXPECT_GT(large.width(), small.width());
}

TEST(SwatchChart, ShowsTheSheetAndTheFiredPowder) {
  const Palette shelf = fixture::shelf();
  const Image<Rgb8> chart = swatch_chart(shelf);
  std::set<std::string> colours;
  for (std::size_t i = 0; i < chart.size(); ++i)
    colours.insert(to_hex(chart[i]));
  // Green at a full load on clear glass over white: its own swatch colour, but for the sheet below.
  double nearest = 1e9;
  const Lab wanted = to_lab(shelf.powders[1].over_white);
  for (const std::string& hex : colours) {
    Rgb8 colour;
    ASSERT_TRUE(parse_hex(hex, colour));
    const Lab lab = to_lab(colour);
    nearest = std::min(nearest, std::hypot(lab.l - wanted.l, lab.a - wanted.a, lab.b - wanted.b));
  }
  EXPECT_LT(nearest, 6);
}

TEST(SwatchChart, TheSameBytesWhateverTheThreads) {
  const ThreadCount one(1);
  const auto alone = swatch_chart_png(fixture::shelf());
  const ThreadCount five(5);
  EXPECT_EQ(swatch_chart_png(fixture::shelf()), alone);
}

TEST(SwatchChart, AShelfTooLargeForAPictureIsAProblem) {
  Palette shelf = fixture::shelf();
  shelf.powders.resize(1000, shelf.powders[0]);
  EXPECT_THROW(swatch_chart(shelf), Problem);
}

}  // namespace
}  // namespace powderplan
