#include "report/difference_map.h"

#include <gtest/gtest.h>

#include "report/canvas.h"
#include "report/fixture.h"
#include "report/step_picture.h"

namespace powderplan {
namespace {

TEST(Differences, NoneBetweenEqualPictures) {
  const PlanRecord plan = fixture::record();
  const DifferenceField field = differences(plan, plan.target, plan.target);
  EXPECT_EQ(field.mean, 0);
  EXPECT_EQ(field.p95, 0);
}

TEST(Differences, MeanAndPercentileOfKnownShares) {
  const PlanRecord plan = fixture::record();
  const Image<Rgb8> white(20, 10, {255, 255, 255});
  Image<Rgb8> other = white;
  for (std::size_t i = 0; i < 20; ++i)
    other[i] = {0, 0, 0};  // a tenth of the points, 100 off
  const DifferenceField field = differences(plan, white, other);
  EXPECT_NEAR(field.mean, 10, 0.05);
  EXPECT_NEAR(field.p95, 100, 0.5);
}

TEST(Differences, BarePointsDoNotCount) {
  PlanRecord plan = fixture::record();
  plan.bare = Image<std::uint8_t>(64, 48, 1);
  plan.bare[0] = 0;
  const Image<Rgb8> plain = fired_preview(plan, View::wall);
  Image<Rgb8> other = plain;
  for (std::size_t i = 1; i < other.size(); ++i)
    other[i] = {255, 0, 255};
  EXPECT_EQ(differences(plan, plain, other).mean, 0);
  plan.bare[0] = 1;
  EXPECT_EQ(differences(plan, plain, other).p95, 0);
}

TEST(DifferenceScale, LightnessGrowsEvenly) {
  double before = to_lab(difference_colour(0)).l;
  EXPECT_NEAR(before, 14, 1);
  for (int i = 1; i <= 15; ++i) {
    const double now = to_lab(difference_colour(i)).l;
    EXPECT_NEAR(now - before, 82.0 / 15, 0.9) << i;
    before = now;
  }
  EXPECT_EQ(difference_colour(15), difference_colour(300));
}

TEST(DifferenceMap, HasTheFieldAboveAndTheStripBelow) {
  PlanRecord plan = fixture::record();
  const Image<Rgb8> map = whole(difference_map(plan));
  EXPECT_GE(map.width(), 400);
  EXPECT_GT(map.height(), 48 + 60);
  const DifferenceField field = differences(plan, plan.target, fired_preview(plan, View::wall));
  EXPECT_EQ(map.at(10, 20), difference_colour(static_cast<double>(field.de00.at(10, 20))));
  // The strip is mostly white paper with black letters.
  int dark = 0, white = 0;
  for (int y = 48; y < map.height(); ++y) {
    for (int x = 0; x < map.width(); ++x) {
      const Lab lab = to_lab(map.at(x, y));
      dark += lab.l < 5 ? 1 : 0;
      white += lab.l > 99 ? 1 : 0;
    }
  }
  EXPECT_GT(dark, 300);
  EXPECT_GT(white, map.width() * (map.height() - 48) / 2);
}

TEST(StepPicture, MarksTheLayerAndGreysTheRest) {
  const PlanRecord plan = fixture::record();
  const Image<Rgb8> picture = step_picture(plan, 0, 640);
  EXPECT_EQ(picture.width(), 640);
  EXPECT_EQ(picture.height(), 480);
  EXPECT_EQ(picture.at(320, 200), mark_colour);  // inside the disc
  const Rgb8 corner = picture.at(2, 2);
  EXPECT_EQ(corner.r, corner.g);
  EXPECT_EQ(corner.g, corner.b);
  EXPECT_GT(to_lab(corner).l, 65);
}

TEST(Canvas, TheSameCallsGiveTheSamePixels) {
  const auto drawn = [] {
    Canvas canvas(120, 40);
    canvas.fill(10, 10, 20, 5, {200, 0, 0});
    canvas.text(5, 30, "Wasser \xc3\xa4 \xff", {.size = 14, .weight = Weight::bold});
    return canvas.image();
  };
  const Image<Rgb8> a = drawn(), b = drawn();
  EXPECT_TRUE(std::equal(a.data(), a.data() + a.size(), b.data()));
  EXPECT_EQ(a.at(10, 10), (Rgb8{200, 0, 0}));
  EXPECT_EQ(a.at(0, 0), (Rgb8{255, 255, 255}));
}

TEST(Canvas, TextIsCutToItsPlace) {
  Canvas canvas(400, 40);
  const TextStyle style{.size = 16};
  canvas.text_within(0, 20, 100, std::string(300, 'W'), style);
  const Image<Rgb8> image = canvas.image();
  for (int x = 102; x < 400; ++x)
    ASSERT_EQ(image.at(x, 14), (Rgb8{255, 255, 255})) << x;
  canvas.text_within(0, 20, 1, "\xf0\x9f\x98\x80\xf0\x9f\x98\x80", style);  // nothing fits; nothing breaks
}

}  // namespace
}  // namespace powderplan
