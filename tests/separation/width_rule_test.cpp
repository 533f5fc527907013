#include "separation/width_rule.h"

#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "masks.h"
#include "separation/disc_opening.h"

namespace powderplan {
namespace {

WidthRule rule_of(int points) {
  return {Millimetres(points * 0.25), Millimetres(0.25)};
}

TEST(WidthRule, RoundsTheDiameterUpToWholePoints) {
  const auto diameter = [](double smallest, double pitch) {
    return WidthRule(Millimetres(smallest), Millimetres(pitch)).diameter();
  };
  EXPECT_EQ(diameter(2.0, 0.25), 8);
  EXPECT_EQ(diameter(2.01, 0.25), 9);
  EXPECT_EQ(diameter(1.0, 0.1), 10);
  EXPECT_EQ(diameter(0.3, 0.1), 3);
  EXPECT_EQ(diameter(0.5, 0.5), 1);
  EXPECT_EQ(diameter(0.01, 0.5), 1);
  EXPECT_EQ(diameter(0, 0.5), 1);
}

TEST(WidthRule, DiscIsRoundAndAsWideAsItsDiameter) {
  for (int d = 1; d <= 24; ++d) {
    const WidthRule rule = rule_of(d);
    int left = 0, right = 0, top = 0, bottom = 0;
    for (const cv::Point& p : rule.disc()) {
      left = std::min(left, p.x);
      right = std::max(right, p.x);
      top = std::min(top, p.y);
      bottom = std::max(bottom, p.y);
    }
    EXPECT_EQ(right - left + 1, d);
    EXPECT_EQ(bottom - top + 1, d);
    // Gauss's circle problem: points in a circle differ from its area by less than its length.
    const double points = static_cast<double>(rule.disc().size());
    EXPECT_LE(std::abs(points - std::numbers::pi * d * d / 4), std::numbers::pi * d) << d;
  }
}

TEST(WidthRule, BelowTwoPointsThereIsNoRule) {
  holds_always([] { RC_ASSERT(rule_of(1).obeyed_by(any_mask(20))); });
}

// A bar that crosses the piece: a point too narrow and it is gone, as wide as the rule and all of it stays.
TEST(WidthRule, Bars) {
  for (int d = 2; d <= 11; ++d) {
    const WidthRule rule = rule_of(d);
    for (int width = 1; width <= d + 2; ++width) {
      const cv::Mat upright = drawn_mask(50, 30, [&](int x, int) { return x >= 20 && x < 20 + width; });
      const cv::Mat level = drawn_mask(30, 50, [&](int, int y) { return y >= 20 && y < 20 + width; });
      for (const cv::Mat& bar : {upright, level}) {
        const cv::Mat kept = width >= d ? bar : cv::Mat(cv::Mat::zeros(bar.size(), CV_8U));
        EXPECT_TRUE(same(rule.opened(bar), kept)) << d << ' ' << width;
        EXPECT_TRUE(same(rule.closed(1 - bar), 1 - kept)) << d << ' ' << width;
        EXPECT_EQ(rule.obeyed_by(bar), width >= d);
        EXPECT_EQ(rule.obeyed_by(1 - bar), width >= d);
      }
    }
  }
}

// An opening rounds the corners of a square: what is lost is four times the corner outside a quarter circle.
TEST(WidthRule, OpeningRoundsTheCornersOfASquare) {
  for (const int d : {12, 21, 40}) {
    const cv::Mat square =
        drawn_mask(140, 140, [](int x, int y) { return x >= 20 && x < 120 && y >= 20 && y < 120; });
    const double lost = cv::countNonZero(square) - cv::countNonZero(rule_of(d).opened(square));
    EXPECT_NEAR(lost, (1 - std::numbers::pi / 4) * d * d, 0.15 * d * d) << d;
  }
}

TEST(WidthRule, DiscsOfItsDiameterObey) {
  for (int d = 2; d <= 15; ++d) {
    const WidthRule rule = rule_of(d);
    cv::Mat mask = cv::Mat::zeros(60, 60, CV_8U);
    for (const cv::Point& p : rule.disc())
      mask.at<std::uint8_t>(30 + p.y, 30 + p.x) = 1;
    EXPECT_TRUE(same(rule.opened(mask), mask)) << d;
    EXPECT_EQ(cv::countNonZero(rule.narrow_webs(mask)), 0) << d;
    if (d > 2) {  // two points are a square, of which any point less is a bar
      EXPECT_EQ(cv::countNonZero(rule_of(d + 1).opened(mask)), 0) << d;
    }
  }
}

TEST(WidthRule, EmptyFullAndTinyMasks) {
  for (const int d : {1, 2, 3, 8, 15}) {
    const WidthRule rule = rule_of(d);
    for (const auto& [width, height] : {std::pair{1, 1}, {1, 9}, {9, 1}, {2, 2}, {40, 3}}) {
      for (const int value : {0, 1}) {
        const cv::Mat mask(height, width, CV_8U, cv::Scalar(value));
        EXPECT_TRUE(rule.obeyed_by(mask)) << d << ' ' << width << ' ' << height << ' ' << value;
        EXPECT_TRUE(same(rule.opened(mask), mask));
        EXPECT_TRUE(same(rule.closed(mask), mask));
        EXPECT_TRUE(same(rule.shrunk_to_rule(mask), mask));
      }
    }
  }
}

TEST(WidthRule, OpeningAndClosingAreWhatMorphologyPromises) {
  holds_always([] {
    const cv::Mat mask = any_mask(40);
    const WidthRule rule = rule_of(*rc::gen::inRange(1, 10));
    const cv::Mat opened = rule.opened(mask), closed = rule.closed(mask);
    RC_ASSERT(cv::countNonZero(opened > mask) == 0);
    RC_ASSERT(cv::countNonZero(mask > closed) == 0);
    RC_ASSERT(same(rule.opened(opened), opened));
    RC_ASSERT(same(rule.closed(closed), closed));
    RC_ASSERT(same(rule.narrow_openings(mask), mask - opened));
    RC_ASSERT(same(rule.narrow_webs(mask), rule.narrow_openings(1 - mask)));
  });
}

TEST(WidthRule, AgreesWithDiscsLaidOneByOne) {
  holds_always([] {
    const cv::Mat mask = any_mask(24);
    const WidthRule rule = rule_of(*rc::gen::inRange(1, 8));
    RC_ASSERT(rule.obeyed_by(mask) == wide_enough(mask, rule.diameter()));
  });
}

// No side of the piece is treated unlike the others.
TEST(WidthRule, IsTheSameForAMirroredMask) {
  holds_always([] {
    const cv::Mat mask = any_mask(24);
    const WidthRule rule = rule_of(*rc::gen::inRange(1, 9));
    for (const int side : {0, 1, -1}) {
      cv::Mat mirrored, back;
      cv::flip(mask, mirrored, side);
      cv::flip(rule.opened(mirrored), back, side);
      RC_ASSERT(same(back, rule.opened(mask)));
    }
  });
}

// A narrow strip along each edge: a web one point wide once made the shrinking go on for ever.
TEST(WidthRule, StripsAlongTheEdges) {
  for (int d = 2; d <= 8; ++d) {
    for (int width = 1; width <= d; ++width) {
      for (const int turn : {0, 1, 2, 3}) {
        const cv::Mat strip = drawn_mask(30, 30, [&](int x, int y) {
          const int from_edge = turn == 0 ? x : turn == 1 ? 29 - x : turn == 2 ? y : 29 - y;
          return from_edge < width;
        });
        for (const cv::Mat& mask : {strip, cv::Mat(1 - strip)}) {
          EXPECT_EQ(rule_of(d).obeyed_by(mask), 2 * width >= d) << d << ' ' << width << ' ' << turn;
          EXPECT_TRUE(rule_of(d).obeyed_by(rule_of(d).shrunk_to_rule(mask)));
        }
      }
    }
  }
}

// Step by step with OpenCV.
TEST(WidthRule, ShrinkingIsThePlainOne) {
  holds_always([] {
    const cv::Mat mask = any_mask(100);
    const int diameter = any_whole(2, 12);
    cv::Mat shrunk = mask;
    for (;;) {
      shrunk = opened_by_disc_plainly(shrunk, diameter);
      const cv::Mat sheet = 1 - shrunk, webs = sheet - opened_by_disc_plainly(sheet, diameter);
      if (cv::countNonZero(webs) == 0)
        break;
      cv::Mat wider;
      cv::dilate(webs, wider, points_of_disc(diameter), {diameter / 2, diameter / 2});
      shrunk = shrunk & (1 - wider);
    }
    RC_ASSERT(same(WidthRule(Millimetres(diameter), Millimetres(1)).shrunk_to_rule(mask), shrunk));
  });
}

TEST(WidthRule, ShrinkingOnlyTakesAwayAndObeys) {
  holds_always([] {
    const cv::Mat mask = any_mask(40);
    const WidthRule rule = rule_of(*rc::gen::inRange(1, 10));
    const cv::Mat shrunk = rule.shrunk_to_rule(mask);
    RC_ASSERT(cv::countNonZero(shrunk > mask) == 0);
    RC_ASSERT(rule.obeyed_by(shrunk));
    RC_ASSERT(wide_enough(shrunk, rule.diameter()));
    if (rule.obeyed_by(mask))
      RC_ASSERT(same(shrunk, mask));
  });
}

}  // namespace
}  // namespace powderplan
