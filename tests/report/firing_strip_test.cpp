#include "report/firing_strip.h"

#include <gtest/gtest.h>

#include "report/fixture.h"

namespace powderplan {
namespace {

constexpr Rgb8 before{200, 10, 10}, after{10, 10, 200};

std::vector<FiringPictures> plain(std::size_t firings, int width, int height) {
  return std::vector<FiringPictures>(firings,
                                     {Image<Rgb8>(width, height, before), Image<Rgb8>(width, height, after)});
}

struct Found {
  int count = 0, width = 0, height = 0;
};

// How many boxes of a colour a picture holds, side by side or below each other, and how large they are.
Found boxes_of(const Image<Rgb8>& picture, const Rgb8& colour) {
  Found found;
  for (int y = 0; y < picture.height(); ++y) {
    for (int x = 0; x < picture.width(); ++x) {
      const bool corner = picture.at(x, y) == colour && (x == 0 || picture.at(x - 1, y) != colour) &&
                          (y == 0 || picture.at(x, y - 1) != colour);
      if (!corner)
        continue;
      int width = 0, height = 0;
      while (x + width < picture.width() && picture.at(x + width, y) == colour)
        ++width;
      while (y + height < picture.height() && picture.at(x, y + height) == colour)
        ++height;
      if (found.count > 0) {
        EXPECT_EQ(width, found.width);
        EXPECT_EQ(height, found.height);
      }
      found = {found.count + 1, width, height};
    }
  }
  return found;
}

PlanRecord with_firings(std::size_t firings, double width, double height) {
  PlanRecord plan = fixture::record();
  plan.width = Millimetres(width);
  plan.height = Millimetres(height);
  plan.firing_plan.firings.resize(firings, plan.firing_plan.firings[0]);
  return plan;
}

TEST(FiringStrip, ShowsEachFiringBeforeAndAfterAtOneScale) {
  for (const std::size_t firings : {1, 2, 3, 4, 7}) {
    const Image<Rgb8> strip = firing_strip(with_firings(firings, 400, 300), plain(firings, 400, 300));
    EXPECT_EQ(strip.width(), strip_width);
    const Found loose = boxes_of(strip, before), fired = boxes_of(strip, after);
    EXPECT_EQ(loose.count, static_cast<int>(firings));
    EXPECT_EQ(fired.count, static_cast<int>(firings));
    EXPECT_EQ(loose.width, fired.width);
    EXPECT_NEAR(loose.height / static_cast<double>(loose.width), 0.75, 0.01);
    EXPECT_GT(loose.width, 150) << firings;
  }
}

TEST(FiringStrip, KeepsTallAndWidePiecesInProportion) {
  const Found tall = boxes_of(firing_strip(with_firings(3, 100, 500), plain(3, 100, 500)), after);
  EXPECT_EQ(tall.count, 3);
  EXPECT_NEAR(tall.height / static_cast<double>(tall.width), 5, 0.1);
  const Found wide = boxes_of(firing_strip(with_firings(3, 900, 150), plain(3, 900, 150)), after);
  EXPECT_EQ(wide.count, 3);
  EXPECT_NEAR(wide.width / static_cast<double>(wide.height), 6, 0.1);
}

TEST(FiringStrip, OfAPlanWithoutFiringSaysSo) {
  const Image<Rgb8> strip = firing_strip(with_firings(0, 400, 300), {});
  EXPECT_EQ(strip.width(), strip_width);
  EXPECT_LT(strip.height(), 200);
}

TEST(FiringStrip, NamesFinishAndTopTemperature) {
  Firing firing;
  firing.finish = Finish::tack;
  EXPECT_EQ(heat_words(firing), "tack finish");
  firing.segments = {{300, Celsius(600), 20}, {200, Celsius(664.6), 10}, {100, Celsius(500), 60}};
  EXPECT_EQ(heat_words(firing), "tack finish, up to 665 \u00b0C");
}

TEST(FiringStrip, ItsPicturesAreThoseOfThePreviews) {
  const PlanRecord plan = fixture::record();
  const std::vector<FiringPictures> pictures = firing_pictures(plan, 1000);
  ASSERT_EQ(pictures.size(), plan.firing_plan.firings.size());
  for (std::size_t k = 0; k < pictures.size(); ++k) {
    const Image<Rgb8> loose = before_firing(plan, k), fired = after_firing(plan, k, plan.view);
    for (std::size_t i = 0; i < fired.size(); ++i) {
      ASSERT_EQ(pictures[k].before[i], loose[i]);
      ASSERT_EQ(pictures[k].after[i], fired[i]);
    }
  }
}

}  // namespace
}  // namespace powderplan
