#include "layers/bridges.h"

#include <numbers>

#include "layers/split_for_bridges.h"
#include "separation/width_rule.h"
#include "stencil_judge.h"

namespace powderplan {
namespace {

constexpr Millimetres pitch{0.25};

Grid grid_of(const cv::Mat& mask) {
  return {pitch, mask.cols, mask.rows};
}

StencilRules rules_of(int smallest_points, int bridge_points) {
  StencilRules rules;
  rules.smallest = pitch * smallest_points;
  rules.bridge = pitch * bridge_points;
  return rules;
}

Image<float> even_cost(const cv::Mat& mask, float cost) {
  return {mask.cols, mask.rows, cost};
}

// Sum over the points of the mask that are not open, done again here.
double error_of(const cv::Mat& mask, const cv::Mat& open, const Image<float>& cost) {
  double sum = 0;
  for (int y = 0; y < mask.rows; ++y) {
    for (int x = 0; x < mask.cols; ++x) {
      if (mask.at<std::uint8_t>(y, x) != 0 && open.at<std::uint8_t>(y, x) == 0)
        sum += static_cast<double>(cost.at(x, y)) * 0.025 * 0.025;  // cm2
    }
  }
  return sum;
}

cv::Mat ring(int size, double outer, double inner) {
  return drawn_mask(size, size, [&](int x, int y) {
    const double r = std::hypot(x + 0.5 - size / 2.0, y + 0.5 - size / 2.0);
    return r < outer && r > inner;
  });
}

// Lays a disc of three quarters of the diameter (rounded down to the same parity, at least 1) on every place
// of the sheet and of a border; pieces of these places, from side to side.
int pieces_held_by_webs(const cv::Mat& open, int diameter) {
  int disc = diameter * 3 / 4;
  disc = std::max(1, disc % 2 == diameter % 2 ? disc : disc - 1);
  const int border = diameter + 2;
  const auto is_sheet = [&](int x, int y) {
    const bool inside = x >= 0 && y >= 0 && x < open.cols && y < open.rows;
    return !inside || open.at<std::uint8_t>(y, x) == 0;
  };
  const double centre = (disc - 1) / 2.0;
  const cv::Mat places = drawn_mask(open.cols + 2 * border, open.rows + 2 * border, [&](int px, int py) {
    for (int y = 0; y < disc; ++y) {
      for (int x = 0; x < disc; ++x) {
        if (std::hypot(x - centre, y - centre) <= disc / 2.0 && !is_sheet(px - border + x, py - border + y))
          return false;
      }
    }
    return true;
  });
  cv::Mat labels;
  return cv::connectedComponents(places, labels, 4) - 1;
}

void expect_sound(const cv::Mat& mask, const cv::Mat& open, int diameter) {
  RC_ASSERT(open.size() == mask.size());
  RC_ASSERT(cv::countNonZero(open > mask) == 0);
  RC_ASSERT(loose_points(open) == 0);
  RC_ASSERT(corner_touches(open) == 0);
  RC_ASSERT(wide_enough(open, diameter));
  RC_ASSERT(pieces_held_by_webs(open, diameter) == 1);
}

TEST(Bridges, WhateverTheMaskTheSheetHangsTogetherAndObeysTheRule) {
  holds_always(
      [] {
        const int smallest = any_whole(1, 8), bridge = smallest + any_whole(0, 3);
        const WidthRule rule(pitch * smallest, pitch);
        const cv::Mat drawn = any_stencil_mask(90);
        const cv::Mat mask = any_whole(0, 1) == 0 ? drawn : rule.shrunk_to_rule(drawn);
        const Image<float> cost = any_cost(mask.cols, mask.rows);
        const auto placement =
            any_whole(0, 2) == 0 ? BridgePlacement::shortest : BridgePlacement::least_error;
        StencilRules rules = rules_of(smallest, bridge);
        rules.hold = Millimetres(any_between(3, 40));
        const BridgedMask result = bridged(to_image(mask), cost, grid_of(mask), rules, placement);
        const cv::Mat open = to_mat(result.open);
        expect_sound(mask, open, smallest);
        RC_ASSERT(std::abs(result.error_cm2 - error_of(mask, open, cost)) < 1e-6);
      },
      700);
}

TEST(Bridges, WhatHangsTogetherAlreadyIsLeftAsItIs) {
  holds_always([] {
    const int smallest = any_whole(1, 8);
    const WidthRule rule(pitch * smallest, pitch);
    const cv::Mat mask = rule.shrunk_to_rule(any_stencil_mask(90));
    const Image<float> cost = any_cost(mask.cols, mask.rows);
    const BridgedMask once = bridged(to_image(mask), cost, grid_of(mask), rules_of(smallest, smallest));
    const BridgedMask twice = bridged(once.open, cost, grid_of(mask), rules_of(smallest, smallest));
    RC_ASSERT(same(to_mat(once.open), to_mat(twice.open)));
    RC_ASSERT(twice.bridges.empty());
    RC_ASSERT(twice.error_cm2 == 0.0);
  });
}

TEST(Bridges, EmptyFullAndNoMaskAtAll) {
  for (const int value : {0, 1}) {
    const cv::Mat mask(30, 50, CV_8U, cv::Scalar(value));
    const BridgedMask result = bridged(to_image(mask), even_cost(mask, 5), grid_of(mask), rules_of(8, 8));
    EXPECT_TRUE(same(to_mat(result.open), mask));
    EXPECT_TRUE(result.bridges.empty());
    EXPECT_EQ(result.error_cm2, 0);
  }
  EXPECT_TRUE(bridged({}, {}, {pitch, 0, 0}, rules_of(8, 8)).open.empty());
}

// A disc in a ring, small enough for one bridge. It closes a strip of the bridge's width from edge to edge,
// and the four corners beside it to the rule's radius, each at most the square of it outside a quarter
// circle.
TEST(Bridges, OneBridgeHoldsTheMiddleOfASmallRing) {
  const cv::Mat mask = ring(120, 50, 25);
  const BridgedMask result = bridged(to_image(mask), even_cost(mask, 10), grid_of(mask), rules_of(8, 8));
  ASSERT_EQ(result.bridges.size(), 1U);
  const double gap_mm = 25 * 0.25, strip_cm2 = gap_mm * 2.0 / 100;
  const double corners_cm2 = 4 * (1 - std::numbers::pi / 4) * 1.0 / 100;
  EXPECT_GT(result.error_cm2, 10 * strip_cm2);
  EXPECT_LT(result.error_cm2, 10 * (strip_cm2 + 1.5 * corners_cm2));
  EXPECT_NEAR(result.bridges[0].error_cm2, result.error_cm2, 1e-9);
  // Straight, from sheet to sheet.
  const LineMm& middle = result.bridges[0].middle;
  ASSERT_EQ(middle.size(), 2U);
  const auto from_centre = [](PointMm p) { return std::hypot(p.x - 15, p.y - 15); };
  EXPECT_LE(std::min(from_centre(middle[0]), from_centre(middle[1])), 25 * 0.25);
  EXPECT_GE(std::max(from_centre(middle[0]), from_centre(middle[1])), 50 * 0.25);
}

TEST(Bridges, OneForEveryLengthOfOutlineThatABridgeHolds) {
  const cv::Mat mask = ring(400, 190, 150);
  const double outline_mm = 2 * std::numbers::pi * 150 * 0.25;
  for (const double hold : {300.0, 120.0, 80.0, 60.0}) {
    for (const auto placement : {BridgePlacement::least_error, BridgePlacement::shortest}) {
      StencilRules rules = rules_of(8, 8);
      rules.hold = Millimetres(hold);
      const BridgedMask result =
          bridged(to_image(mask), even_cost(mask, 10), grid_of(mask), rules, placement);
      const auto wanted = static_cast<std::size_t>(std::ceil(outline_mm / hold));
      EXPECT_EQ(result.bridges.size(), wanted) << hold;
      // Their feet on the island stand apart by its box's diagonal over their number; the island's edge is
      // known to a grid point or two.
      const double apart = 2 * 150 * 0.25 * std::numbers::sqrt2 / static_cast<double>(wanted);
      for (std::size_t i = 0; i < result.bridges.size(); ++i) {
        for (std::size_t k = i + 1; k < result.bridges.size(); ++k) {
          const PointMm a = result.bridges[i].middle.front(), b = result.bridges[k].middle.front();
          EXPECT_GE(std::hypot(a.x - b.x, a.y - b.y), apart - 2.5) << hold;
        }
      }
    }
  }
}

TEST(Bridges, GoUnderALayerThatCovers) {
  const cv::Mat mask = ring(200, 90, 40);
  Image<float> cost = even_cost(mask, 12);
  // Covered: a sector to the lower left, off the axes.
  const auto covered = [](int x, int y) {
    const double angle = std::atan2(y + 0.5 - 100, x + 0.5 - 100);
    return angle > 2.0 && angle < 2.6;
  };
  for (int y = 0; y < 200; ++y) {
    for (int x = 0; x < 200; ++x) {
      if (covered(x, y))
        cost.at(x, y) = 0;
    }
  }
  const BridgedMask result = bridged(to_image(mask), cost, grid_of(mask), rules_of(8, 8));
  ASSERT_FALSE(result.bridges.empty());
  EXPECT_EQ(result.error_cm2, 0);
  for (int y = 0; y < 200; ++y) {
    for (int x = 0; x < 200; ++x) {
      if (mask.at<std::uint8_t>(y, x) != 0 && result.open.at(x, y) == 0) {
        EXPECT_TRUE(covered(x, y)) << x << ' ' << y;
      }
    }
  }
}

// Two dots side by side, far from the edge: the second hangs on the first.
TEST(Bridges, AnIslandMayHangOnAnother) {
  const cv::Mat mask = drawn_mask(300, 100, [](int x, int y) {
    return std::hypot(x - 59.5, y - 49.5) > 12 && std::hypot(x - 94.5, y - 49.5) > 12 && x < 290;
  });
  ASSERT_TRUE(WidthRule(Millimetres(2), pitch).obeyed_by(mask));
  const BridgedMask result = bridged(to_image(mask), even_cost(mask, 10), grid_of(mask), rules_of(8, 8));
  EXPECT_EQ(result.bridges.size(), 2U);
  EXPECT_EQ(loose_points(to_mat(result.open)), 0);
  // One goes to the edge (38 points), one from dot to dot (11 points), each 8 wide; the corners beside them
  // are rounded.
  const double points = (38 + 11) * 8 + 8 * 0.25 * 4 * 4;
  EXPECT_LT(result.error_cm2, 10 * 1.1 * points * 0.025 * 0.025);
}

// Flat patches and noise. In layers of photos the standard deviation of the cost is 0.3 to 1.8 of its mean;
// here it is 0.8 and 0.9.
TEST(Bridges, LeastErrorIsWellBelowShortest) {
  for (const double power : {1.5, 2.0}) {
    double least = 0, shortest = 0;
    for (int seed = 1; seed <= 3; ++seed) {
      std::mt19937 random(static_cast<unsigned>(seed));
      const auto up_to = [&](int most) { return static_cast<int>(random() % static_cast<unsigned>(most)); };
      const int size = 400;
      cv::Mat mask = cv::Mat::ones(size, size, CV_8U);
      for (int i = 0; i < 25; ++i)
        cv::ellipse(mask, {up_to(size), up_to(size)}, {8 + up_to(30), 8 + up_to(20)}, up_to(180), 0, 360,
                    cv::Scalar(0), cv::FILLED);
      mask = WidthRule(Millimetres(2), pitch).shrunk_to_rule(mask);
      struct Patch {
        int x, y;
        double cost;
      };
      std::vector<Patch> patches;
      for (int i = 0; i < 150; ++i)
        patches.push_back({up_to(size), up_to(size), 20 * std::pow(up_to(1000) / 1000.0, power)});
      Image<float> cost(size, size);
      for (int y = 0; y < size; ++y) {
        for (int x = 0; x < size; ++x) {
          const auto square = [&](const Patch& p) { return (p.x - x) * (p.x - x) + (p.y - y) * (p.y - y); };
          const auto nearest =
              std::min_element(patches.begin(), patches.end(),
                               [&](const Patch& a, const Patch& b) { return square(a) < square(b); });
          cost.at(x, y) = static_cast<float>(nearest->cost + up_to(100) / 50.0 - 1);
        }
      }
      const Grid grid = grid_of(mask);
      least += bridged(to_image(mask), cost, grid, rules_of(8, 8)).error_cm2;
      shortest += bridged(to_image(mask), cost, grid, rules_of(8, 8), BridgePlacement::shortest).error_cm2;
    }
    EXPECT_LE(least, 0.6 * shortest) << power << ": " << least << ' ' << shortest;
    EXPECT_GT(least, 0);
  }
}

// What the bridges are charged is all that was closed for them.
TEST(Bridges, TheirErrorsAddUp) {
  holds_always([] {
    const int smallest = any_whole(1, 8);
    const cv::Mat mask = WidthRule(pitch * smallest, pitch).shrunk_to_rule(any_stencil_mask(90));
    if (corner_touches(mask) != 0)
      return;  // closed before the first bridge
    const Image<float> cost = any_cost(mask.cols, mask.rows);
    const BridgedMask result = bridged(to_image(mask), cost, grid_of(mask), rules_of(smallest, smallest));
    double sum = 0;
    for (const Bridge& bridge : result.bridges)
      sum += bridge.error_cm2;
    RC_ASSERT(std::abs(sum - result.error_cm2) < 1e-6);
  });
}

TEST(Split, TwoStencilsInPlaceOfBridges) {
  holds_always(
      [] {
        const int smallest = any_whole(1, 7);
        const WidthRule rule(pitch * smallest, pitch);
        const cv::Mat drawn = any_stencil_mask(70);
        const cv::Mat mask = any_whole(0, 1) == 0 ? drawn : rule.shrunk_to_rule(drawn);
        const Image<float> cost = any_cost(mask.cols, mask.rows);
        const StencilRules rules = rules_of(smallest, smallest + any_whole(0, 2));
        const BridgedMask held = bridged(to_image(mask), cost, grid_of(mask), rules);
        const SplitMask split = split_for_bridges(to_image(mask), held, cost, grid_of(mask), rules);
        const cv::Mat first = to_mat(split.first.open), second = to_mat(split.second.open);
        expect_sound(mask, first, smallest);
        expect_sound(mask, second, smallest);
        RC_ASSERT(cv::countNonZero(first & second) == 0);
        RC_ASSERT(std::abs(split.error_cm2 - error_of(mask, first | second, cost)) < 1e-6);
        RC_ASSERT(split.error_cm2 <= held.error_cm2 + 1e-9);
      },
      150);
}

// What neither can open is the corners: where the two meet at the ring's edge both are rounded, so each
// bridge leaves at most 2 seams * 2 ends * 2 corners outside a quarter circle of 1 mm.
TEST(Split, LeavesOnlyTheCornersOfTheSeams) {
  const cv::Mat mask = WidthRule(Millimetres(2), pitch).shrunk_to_rule(ring(200, 90, 60));
  const Image<float> cost = even_cost(mask, 10);
  const BridgedMask held = bridged(to_image(mask), cost, grid_of(mask), rules_of(8, 8));
  ASSERT_GE(held.bridges.size(), 2U);
  const SplitMask split = split_for_bridges(to_image(mask), held, cost, grid_of(mask), rules_of(8, 8));
  // On the grid a corner loses up to a third more (WidthRule's disc of 8 points).
  const double corner_cm2 = 1.33 * (1 - std::numbers::pi / 4) / 100;
  EXPECT_LE(split.error_cm2, 10 * 8 * corner_cm2 * static_cast<double>(held.bridges.size()));
  EXPECT_LT(split.error_cm2, 0.2 * held.error_cm2);
}

}  // namespace
}  // namespace powderplan
