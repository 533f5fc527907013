#include "layers/bit_mask.h"

#include "masks.h"
#include "stencil_judge.h"

namespace powderplan {
namespace {

TEST(BitMask, KeepsEachPoint) {
  holds_always([] {
    const cv::Mat mask = any_mask(150);
    const BitMask bits = to_image(mask);
    RC_ASSERT(same(to_mat(bits), mask));
    RC_ASSERT(same(to_mat(bits.image()), mask));
    RC_ASSERT(same(to_mat(bits.inverted()), 1 - mask));
    RC_ASSERT(bits.count() == static_cast<std::size_t>(cv::countNonZero(mask)));
    RC_ASSERT(bits.any() == (cv::countNonZero(mask) > 0));
    std::vector<cv::Point> points, seen;
    cv::findNonZero(mask, points);
    bits.for_each([&](int x, int y) { seen.emplace_back(x, y); });
    RC_ASSERT(seen == points);
  });
}

TEST(BitMask, CutsOutAndFrames) {
  holds_always([] {
    const cv::Mat mask = any_mask(150);
    const cv::Rect box(any_whole(-90, 160), any_whole(-90, 160), any_whole(1, 200), any_whole(1, 200));
    const bool beyond = any_whole(0, 1) == 1;
    const cv::Mat cut = to_mat(BitMask(to_image(mask)).cut_out(box, beyond));
    RC_ASSERT(same(cut, drawn_mask(box.width, box.height, [&](int x, int y) {
                     const cv::Point p = cv::Point(x, y) + box.tl();
                     return p.inside(cv::Rect({0, 0}, mask.size())) ? mask.at<std::uint8_t>(p) != 0 : beyond;
                   })));
  });
}

TEST(BitMask, SetsAndClearsPartsOfRows) {
  holds_always([] {
    cv::Mat mask = any_mask(150);
    BitMask bits = to_image(mask);
    const int y = any_whole(-2, mask.rows + 1), begin = any_whole(-9, 160), end = any_whole(-9, 160);
    const bool set = any_whole(0, 1) == 1;
    set ? bits.set(y, begin, end) : bits.clear(y, begin, end);
    for (int x = std::max(begin, 0); x < std::min(end, mask.cols) && y >= 0 && y < mask.rows; ++x)
      mask.at<std::uint8_t>(y, x) = set ? 1 : 0;
    RC_ASSERT(same(to_mat(bits), mask));
  });
}

// separation/width_rule.h is the plain version.
TEST(BitWidthRule, IsTheWidthRule) {
  holds_always(
      [] {
        const cv::Mat mask = any_whole(0, 1) == 0 ? any_mask(150) : any_stencil_mask(90);
        const WidthRule rule(Millimetres(any_whole(1, 12)), Millimetres(1));
        const BitWidthRule bits(rule);
        RC_ASSERT(same(to_mat(bits.opened(to_image(mask))), rule.opened(mask)));
        RC_ASSERT(same(to_mat(bits.shrunk_to_rule(to_image(mask))), rule.shrunk_to_rule(mask)));
      },
      300);
}

TEST(BitWidthRule, OfDiscsWiderThanAWord) {
  const cv::Mat mask =
      drawn_mask(400, 300, [](int x, int y) { return std::hypot(x - 150, y - 140) < 90 || x > 330; });
  const WidthRule rule(Millimetres(140), Millimetres(1));
  EXPECT_TRUE(same(to_mat(BitWidthRule(rule).opened(to_image(mask))), rule.opened(mask)));
}

TEST(BitWidthRule, ClearsADiscRoundAPoint) {
  holds_always([] {
    const WidthRule rule(Millimetres(any_whole(1, 12)), Millimetres(1));
    const cv::Point at(any_whole(-5, 105), any_whole(-5, 35));
    cv::Mat mask = drawn_mask(100, 30, [](int, int) { return true; });
    BitMask bits = to_image(mask);
    BitWidthRule(rule).clear_round(bits, {at});
    for (const cv::Point& offset : rule.disc()) {
      if ((at + offset).inside(cv::Rect(0, 0, 100, 30)))
        mask.at<std::uint8_t>(at + offset) = 0;
    }
    RC_ASSERT(same(to_mat(bits), mask));
  });
}

}  // namespace
}  // namespace powderplan
