#include "report/reactions_map.h"

#include <gtest/gtest.h>

#include <cmath>

#include "report/fixture.h"
#include "report/reaction_words.h"

namespace powderplan {
namespace {

double lightness(const Rgb8& colour) {
  return to_lab(colour).l;
}

// One pair that meets as told, in a plain plan.
PlanRecord with(const std::function<std::uint8_t(int, int)>& where) {
  PlanRecord plan = fixture::record();
  Meeting meeting{{0, 2, {}, {"copper"}}, Millimetres(10), 1, Image<std::uint8_t>(64, 48)};
  for (int y = 0; y < 48; ++y) {
    for (int x = 0; x < 64; ++x)
      meeting.where.at(x, y) = where(x, y);
  }
  plan.meetings = {meeting};
  return plan;
}

TEST(ReactionsDrawing, IsPaleWhereNothingReacts) {
  const PlanRecord plan = with([](int x, int) { return x < 20 ? meets_on_another : std::uint8_t{0}; });
  const Image<Rgb8> drawing = reactions_drawing(plan);
  ASSERT_EQ(drawing.width() % 64, 0);
  ASSERT_GE(drawing.width(), 720);
  const int factor = drawing.width() / 64;
  EXPECT_EQ(drawing.height(), 48 * factor);
  for (int y = 0; y < drawing.height(); ++y) {
    for (int x = 22 * factor; x < drawing.width(); ++x) {
      const Rgb8& c = drawing.at(x, y);
      ASSERT_GE(lightness(c), 73) << x << " " << y;
      ASSERT_LE(std::max({c.r, c.g, c.b}) - std::min({c.r, c.g, c.b}), 2);
    }
  }
}

TEST(ReactionsDrawing, HatchesWhereOneLiesOnTheOther) {
  const PlanRecord plan = with([](int x, int) { return x < 20 ? meets_on_another : std::uint8_t{0}; });
  const Image<Rgb8> drawing = reactions_drawing(plan);
  int dark = 0, light = 0;
  for (int x = 4; x < drawing.width() / 5; ++x) {  // along a row below the letter
    const double l = lightness(drawing.at(x, drawing.height() - 30));
    dark += l < 30 ? 1 : 0;
    light += l > 80 ? 1 : 0;
  }
  EXPECT_GT(dark, 20);
  EXPECT_GT(light, 2 * dark - 20);
}

TEST(ReactionsDrawing, DrawsBordersBlackInAWhiteRim) {
  const PlanRecord plan =
      with([](int x, int) { return x == 30 || x == 31 ? meets_beside : std::uint8_t{0}; });
  const Image<Rgb8> drawing = reactions_drawing(plan);
  const int factor = drawing.width() / 64, y = 3 * factor;
  EXPECT_EQ(drawing.at(31 * factor, y), (Rgb8{0, 0, 0}));
  bool white = false;
  for (int x = 31 * factor; x < 34 * factor && !white; ++x)
    white = drawing.at(x, y) == Rgb8{255, 255, 255};
  EXPECT_TRUE(white);
}

TEST(ReactionsDrawing, PutsTheLetterOnItsPlace) {
  // A box of white with black in it, in the middle of the only field.
  const PlanRecord plan = with([](int x, int y) {
    return x >= 8 && x < 28 && y >= 10 && y < 30 ? meets_on_another : std::uint8_t{0};
  });
  const Image<Rgb8> drawing = reactions_drawing(plan);
  const int factor = drawing.width() / 64, cx = 18 * factor, cy = 20 * factor;
  int white = 0, black = 0;
  for (int y = cy - 6; y <= cy + 6; ++y) {
    for (int x = cx - 6; x <= cx + 6; ++x) {
      white += lightness(drawing.at(x, y)) > 95 ? 1 : 0;
      black += lightness(drawing.at(x, y)) < 10 ? 1 : 0;
    }
  }
  EXPECT_GT(white, 30);
  EXPECT_GT(black, 10);
}

TEST(ReactionsMap, SaysInAStripWhatIsWhat) {
  const PlanRecord plan = fixture::record_with_reactions();
  const Image<Rgb8> drawing = reactions_drawing(plan), map = reactions_map(plan);
  EXPECT_EQ(map.width(), drawing.width());
  ASSERT_GT(map.height(), drawing.height());
  for (int y = 0; y < drawing.height(); ++y) {
    for (int x = 0; x < drawing.width(); ++x)
      ASSERT_EQ(map.at(x, y), drawing.at(x, y));
  }
  int ink = 0;
  for (int y = drawing.height(); y < map.height(); ++y) {
    for (int x = 0; x < map.width(); ++x)
      ink += lightness(map.at(x, y)) < 40 ? 1 : 0;
  }
  EXPECT_GT(ink, 500);
  // One row more for one pair more.
  PlanRecord fewer = plan;
  const std::size_t told = marked_meetings(plan).size();
  ASSERT_GE(told, 2u);
  std::erase_if(fewer.meetings,
                [&](const Meeting& m) { return m.pair == marked_meetings(plan)[1].meeting->pair; });
  EXPECT_LT(reactions_map(fewer).height(), map.height());
}

TEST(ReactionsMap, OfASmallPlaceAtTheEdgeHasItsLetterToo) {
  for (const auto& [px, py] : {std::pair{0, 0}, {63, 47}, {0, 47}}) {
    const PlanRecord plan = with(
        [px = px, py = py](int x, int y) { return x == px && y == py ? meets_on_another : std::uint8_t{0}; });
    const Image<Rgb8> drawing = reactions_drawing(plan);
    const int factor = drawing.width() / 64;
    int white = 0;
    for (int y = 0; y < factor; ++y) {
      for (int x = 0; x < factor; ++x)
        white += lightness(drawing.at(px * factor + x, py * factor + y)) > 99 ? 1 : 0;
    }
    EXPECT_GT(white, 0) << px << " " << py;
  }
}

}  // namespace
}  // namespace powderplan
