#include "separation/mask_repair.h"

#include <random>

#include "masks.h"

namespace powderplan {
namespace {

WidthRule rule_of(int points) {
  return {Millimetres(points), Millimetres(1)};
}

cv::Mat any_cost(const cv::Size& size) {
  std::mt19937 random(*rc::gen::inRange(0u, 1000000u));
  // A few points that must or must not be open are among them.
  std::uniform_real_distribution<float> usual(-10, 10);
  cv::Mat cost(size, CV_32F);
  for (int y = 0; y < size.height; ++y) {
    for (int x = 0; x < size.width; ++x)
      cost.at<float>(y, x) = random() % 50 == 0 ? (random() % 2 == 0 ? 1e4F : -1e4F) : usual(random);
  }
  return cost;
}

// What opening costs: `inside` where the mask is open, `outside` elsewhere.
cv::Mat cost_of(const cv::Mat& mask, float inside, float outside) {
  cv::Mat cost(mask.size(), CV_32F, cv::Scalar(outside));
  cost.setTo(inside, mask);
  return cost;
}

// In the form of masks that are drawn.
cv::Mat after_repair(const cv::Mat& mask, const cv::Mat& cost, const WidthRule& rule) {
  Image<float> costs(cost.cols, cost.rows);
  for (int y = 0; y < cost.rows; ++y)
    std::copy_n(cost.ptr<float>(y), cost.cols, costs.row(y));
  return repaired(BitMask(mask), costs, rule).bytes();
}

cv::Mat bar(int width) {
  return drawn_mask(60, 40, [&](int x, int) { return x >= 25 && x < 25 + width; });
}

TEST(Repaired, ObeysTheRule) {
  holds_always([] {
    const cv::Mat mask = any_mask(40);
    const WidthRule rule = rule_of(*rc::gen::inRange(1, 10));
    const cv::Mat after = after_repair(mask, any_cost(mask.size()), rule);
    RC_ASSERT(after.size() == mask.size());
    RC_ASSERT(rule.obeyed_by(after));
    RC_ASSERT(wide_enough(after, rule.diameter()));
  });
}

TEST(Repaired, LeavesAloneWhatObeys) {
  holds_always([] {
    const WidthRule rule = rule_of(*rc::gen::inRange(1, 8));
    const cv::Mat mask = rule.shrunk_to_rule(any_mask(40));
    RC_ASSERT(same(after_repair(mask, any_cost(mask.size()), rule), mask));
  });
}

// Widening a bar of 3 points to 5 opens two more a row; giving it up closes three.
TEST(Repaired, WidensANarrowOpeningWhenThatIsCheaper) {
  const cv::Mat mask = bar(3);
  const cv::Mat after = after_repair(mask, cost_of(mask, -1, 0.5), rule_of(5));
  EXPECT_EQ(cv::countNonZero(mask > after), 0) << "the bar is still open";
  EXPECT_EQ(cv::countNonZero(after), 5 * 40);
}

TEST(Repaired, GivesUpANarrowOpeningWhenThatIsCheaper) {
  const cv::Mat mask = bar(3);
  EXPECT_EQ(cv::countNonZero(after_repair(mask, cost_of(mask, -1, 4), rule_of(5))), 0);
}

TEST(Repaired, WidensANarrowWebWhenThatIsCheaper) {
  const cv::Mat web = bar(3), mask = 1 - web;
  const cv::Mat after = after_repair(mask, cost_of(mask, -0.5, 1), rule_of(5));
  EXPECT_EQ(cv::countNonZero(web & after), 0) << "the web still stands";
  EXPECT_EQ(cv::countNonZero(after == 0), 5 * 40);
}

TEST(Repaired, FillsANarrowWebWhenThatIsCheaper) {
  const cv::Mat web = bar(3), mask = 1 - web;
  EXPECT_EQ(cv::countNonZero(after_repair(mask, cost_of(mask, -4, 1), rule_of(5)) == 0), 0);
}

// Two narrow bars, far apart, are decided one by one.
TEST(Repaired, DecidesEachPartForItself) {
  const cv::Mat left = drawn_mask(80, 40, [](int x, int) { return x >= 20 && x < 23; });
  const cv::Mat right = drawn_mask(80, 40, [](int x, int) { return x >= 60 && x < 63; });
  cv::Mat cost(left.size(), CV_32F, cv::Scalar(1));
  cost.setTo(-10, left);
  cost.setTo(-0.1, right);
  const cv::Mat after = after_repair(left + right, cost, rule_of(5));
  EXPECT_EQ(cv::countNonZero(left > after), 0);
  EXPECT_EQ(cv::countNonZero(after & right), 0);
}

TEST(Repaired, TinyMasks) {
  for (const auto& [width, height] : {std::pair{1, 1}, {1, 7}, {7, 1}, {2, 3}}) {
    for (const int value : {0, 1}) {
      const cv::Mat mask(height, width, CV_8U, cv::Scalar(value));
      EXPECT_TRUE(same(after_repair(mask, cv::Mat::zeros(mask.size(), CV_32F), rule_of(4)), mask));
    }
  }
}

}  // namespace
}  // namespace powderplan
