#include "separation/target.h"

#include <algorithm>
#include <random>

#include "shelf.h"

namespace powderplan {
namespace {

const ShelfReach& reach() {
  static const ShelfReach shelf(small_painter(), {white, black, red, blue, yellow}, full_load, 3);
  return shelf;
}

// Colours are held in steps no larger than this.
constexpr float packed_step = 1.0F / 128;

Target target_with(const Image<PackedLab>& picture) {
  Target target;
  target.grid = {Millimetres(0.5), picture.width(), picture.height()};
  target.picture = target.wanted = picture;
  target.bare = Image<std::uint8_t>(picture.width(), picture.height());
  return target;
}

// Grey points of the lightnesses from `low` to `high`, the ends a hundred times.
Target greys(double low, double high) {
  Image<PackedLab> picture(100, 12);
  for (std::size_t i = 0; i < picture.size(); ++i) {
    const double share = std::clamp((static_cast<double>(i) - 100) / 1000, 0.0, 1.0);
    picture[i] = to_pixel({low + share * (high - low), 0, 0});
  }
  return target_with(picture);
}

TEST(TargetOf, IsThePictureInLabAndBareWhereItIsTransparent) {
  FittedPicture fitted;
  fitted.grid = {Millimetres(0.25), 3, 1};
  fitted.pixels = Image<LinearPixel>(3, 1);
  fitted.pixels[0] = {1, 1, 1, 1};
  fitted.pixels[1] = {0.2F, 0.1F, 0.05F, 0.51F};
  fitted.pixels[2] = {0.2F, 0.1F, 0.05F, 0.49F};
  const Target target = target_of(fitted);
  EXPECT_EQ(target.grid, fitted.grid);
  EXPECT_EQ(target.bare[0], 0);
  EXPECT_EQ(target.bare[1], 0);
  EXPECT_EQ(target.bare[2], 1);
  EXPECT_NEAR(target.wanted[0].l(), 100, packed_step);
  const Lab expected = to_lab(to_xyz(LinearRgb{0.2F, 0.1F, 0.05F}));
  EXPECT_NEAR(target.wanted[1].l(), expected.l, packed_step);
  EXPECT_NEAR(target.wanted[1].a(), expected.a, packed_step);
  EXPECT_NEAR(target.wanted[1].b(), expected.b, packed_step);
  EXPECT_TRUE(target.picture.empty()) << "as wanted, until fitted";
  EXPECT_EQ(&target.as_it_is(), &target.wanted);
  ASSERT_EQ(target.alpha.size(), 3u);
  EXPECT_EQ(target.alpha[1], 130);
}

TEST(TargetOf, HoldsNothingOfWhereItIsBareWhenItIsNowhere) {
  FittedPicture fitted;
  fitted.grid = {Millimetres(0.25), 2, 1};
  fitted.pixels = Image<LinearPixel>(2, 1, {0.2F, 0.1F, 0.05F, 1});
  const Target whole = target_of(fitted);
  EXPECT_TRUE(whole.bare.empty());
  EXPECT_TRUE(whole.alpha.empty());
  EXPECT_FALSE(whole.is_bare(1));
  fitted.pixels[1].alpha = 0;
  const Target half = target_of(fitted);
  EXPECT_TRUE(half.alpha.empty()) << "bare tells it all";
  EXPECT_FALSE(half.is_bare(0));
  EXPECT_TRUE(half.is_bare(1));
}

TEST(FitRange, LeavesAloneWhatTheShelfReaches) {
  holds_always([] {
    Image<PackedLab> picture(8, 8);
    std::mt19937 random(*rc::gen::inRange(0u, 100000u));
    std::uniform_real_distribution<double> share(0, 1);
    for (std::size_t i = 0; i < picture.size(); ++i) {
      const double l =
          reach().darkest() + 0.01 + share(random) * (reach().lightest() - reach().darkest() - 0.02);
      const double hue = 6.28 * share(random), chroma = 0.74 * share(random) * reach().most_chroma(l, hue);
      picture[i] = to_pixel({l, chroma * std::cos(hue), chroma * std::sin(hue)});
      // Near grey a step of the picture turns the hue, and may lead out of what is reached.
      const LabPixel held = picture[i];
      if (std::hypot(held.a, held.b) > 0.745 * reach().most_chroma(held.l, std::atan2(held.b, held.a)))
        picture[i] = {held.l, 0, 0};
    }
    Target target = target_with(picture);
    fit_range(target, reach());
    for (std::size_t i = 0; i < picture.size(); ++i) {
      RC_ASSERT(std::abs(target.wanted[i].l() - picture[i].l()) < 1.01F * packed_step);
      RC_ASSERT(std::abs(target.wanted[i].a() - picture[i].a()) < 1.01F * packed_step);
      RC_ASSERT(std::abs(target.wanted[i].b() - picture[i].b()) < 1.01F * packed_step);
    }
  });
}

TEST(FitRange, BringsInWhatSticksOut) {
  holds_always([] {
    Image<PackedLab> picture(8, 8);
    std::mt19937 random(*rc::gen::inRange(0u, 100000u));
    const double low = any_between(0, 100), high = any_between(low, 100), widest = any_between(0, 150);
    std::uniform_real_distribution<double> l(low, high), ab(-widest, widest);
    for (std::size_t i = 0; i < picture.size(); ++i) {
      const double l_i = l(random), a_i = ab(random), b_i = ab(random);
      picture[i] = to_pixel({l_i, a_i, b_i});
    }
    Target target = target_with(picture);
    fit_range(target, reach());
    for (std::size_t i = 0; i < picture.size(); ++i) {
      const LabPixel p = target.wanted[i];
      RC_ASSERT(p.l >= reach().darkest() - packed_step);
      RC_ASSERT(p.l <= reach().lightest() + packed_step);
      // By the hue of the picture, which is kept: near grey a step turns it.
      const double hue = std::atan2(picture[i].b(), picture[i].a());
      RC_ASSERT(std::hypot(p.a, p.b) <= reach().most_chroma(p.l, hue) + 2e-2);
      RC_ASSERT(target.picture[i] == picture[i]);
    }
  });
}

TEST(FitRange, PressesLightnessEvenly) {
  for (const auto& [low, high] : {std::pair{0.0, 100.0}, {0.0, 60.0}, {40.0, 100.0}}) {
    Target target = greys(low, high);
    fit_range(target, reach());
    const double to_low = std::max(low, reach().darkest()), to_high = std::min(high, reach().lightest());
    for (std::size_t i = 0; i < target.wanted.size(); ++i) {
      const double share = (target.picture[i].l() - low) / (high - low);
      // The tails are found to a hundredth of a unit.
      EXPECT_NEAR(target.wanted[i].l(), to_low + share * (to_high - to_low), 0.03);
    }
  }
}

TEST(FitRange, KeepsHueAndOrder) {
  Image<PackedLab> picture(50, 1);
  for (int i = 0; i < 50; ++i)
    picture[static_cast<std::size_t>(i)] = to_pixel({50, 3.0 * i * std::cos(0.6), 3.0 * i * std::sin(0.6)});
  Target target = target_with(picture);
  fit_range(target, reach());
  double before = -1;
  for (std::size_t i = 0; i < 50; ++i) {
    const LabPixel p = target.wanted[i];
    const double chroma = std::hypot(p.a, p.b);
    EXPECT_GE(chroma, before - 2 * packed_step);
    before = chroma;
    if (i > 0) {
      EXPECT_NEAR(std::atan2(p.b, p.a), 0.6, packed_step / chroma);
    }
  }
}

TEST(FitRange, DoesNotCountBarePoints) {
  Target target = greys(30, 60);
  target.picture[0] = target.wanted[0] = {0, 0, 0};
  for (std::size_t i = 0; i < 40; ++i) {
    target.picture[i] = {0, 0, 0};
    target.bare[i] = 1;
  }
  fit_range(target, reach());
  for (std::size_t i = 40; i < target.wanted.size(); ++i)
    EXPECT_NEAR(target.wanted[i].l(), target.picture[i].l(), 0.02);
}

TEST(FitRange, OfOneColourOrNone) {
  for (const double l : {0.0, 50.0, 100.0}) {
    Target target = target_with(Image<PackedLab>(1, 1, {static_cast<float>(l), 0, 0}));
    fit_range(target, reach());
    EXPECT_NEAR(target.wanted[0].l(), std::clamp(l, reach().darkest(), reach().lightest()), 0.02);
  }
  Target bare = target_with(Image<PackedLab>(4, 4));
  bare.bare = Image<std::uint8_t>(4, 4, 1);
  fit_range(bare, reach());
  Target empty = target_with({});
  fit_range(empty, reach());
}

TEST(ToRgb, IsTheCodeOfTheColour) {
  Image<PackedLab> picture(2, 1);
  picture[0] = to_pixel(to_lab(Rgb8{10, 200, 77}));
  picture[1] = {100, 0, 0};
  EXPECT_EQ(to_rgb(picture)[0], (Rgb8{10, 200, 77}));
  EXPECT_EQ(to_rgb(picture)[1], (Rgb8{255, 255, 255}));
}

}  // namespace
}  // namespace powderplan
