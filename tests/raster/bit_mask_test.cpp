#include "raster/bit_mask.h"

#include <opencv2/imgproc.hpp>
#include <tuple>

#include "masks.h"

namespace powderplan {
namespace {

// Wider than a word now and then.
cv::Mat some_mask() {
  return any_mask(150);
}

TEST(BitMask, HoldsWhatItWasMadeOf) {
  holds_always([] {
    const cv::Mat mask = some_mask();
    const BitMask bits(mask);
    RC_ASSERT(same(bits.bytes(), mask));
    RC_ASSERT(same(BitMask(mask * 255).bytes(), mask));
    RC_ASSERT(same(bits.inverted().bytes(), 1 - mask));
    RC_ASSERT(bits.inverted().inverted() == bits);
    RC_ASSERT(bits.any() == (cv::countNonZero(mask) > 0));
    RC_ASSERT(bits.count() == static_cast<std::size_t>(cv::countNonZero(mask)));
    RC_ASSERT(bits.size() == mask.size());
    Image<std::uint8_t> image(mask.cols, mask.rows);
    for (int y = 0; y < mask.rows; ++y) {
      for (int x = 0; x < mask.cols; ++x) {
        RC_ASSERT(bits.at(x, y) == (mask.at<std::uint8_t>(y, x) != 0));
        image.at(x, y) = mask.at<std::uint8_t>(y, x);
      }
    }
    RC_ASSERT(BitMask(image) == bits);
    std::vector<cv::Point> points, visited;
    cv::findNonZero(mask, points);
    bits.for_each([&](int x, int y) { visited.emplace_back(x, y); });
    RC_ASSERT(visited == points);
  });
}

TEST(BitMask, FindsWhereNeighboursDiffer) {
  holds_always([] {
    const cv::Mat mask = some_mask();
    const auto differ = [&](int x, int y, int to_x, int to_y) {
      return to_x >= 0 && to_y >= 0 && mask.at<std::uint8_t>(y, x) != mask.at<std::uint8_t>(to_y, to_x);
    };
    using Edge = std::tuple<int, int, bool, bool>;
    std::vector<Edge> expected, found;
    for (int y = 0; y < mask.rows; ++y) {
      for (int x = 0; x < mask.cols; ++x) {
        const bool left = differ(x, y, x - 1, y), above = differ(x, y, x, y - 1);
        if (left || above)
          expected.emplace_back(x, y, left, above);
      }
    }
    BitMask(mask).for_each_edge(
        [&](int x, int y, bool left, bool above) { found.emplace_back(x, y, left, above); });
    RC_ASSERT(found == expected);
  });
}

TEST(BitMask, IsAllOneValueAtFirst) {
  for (const int width : {1, 63, 64, 65, 128}) {
    EXPECT_EQ(BitMask(width, 3).count(), 0U);
    EXPECT_EQ(BitMask(width, 3, true).count(), 3U * static_cast<unsigned>(width));
    EXPECT_TRUE(BitMask(width, 3, true) == BitMask(width, 3).inverted());
  }
  EXPECT_TRUE(BitMask().empty());
  EXPECT_FALSE(BitMask().any());
  EXPECT_FALSE(BitMask(1, 1).empty());
}

TEST(BitMask, GivesAndFlipsPointsAtAnyPlace) {
  holds_always([] {
    const cv::Mat mask = some_mask();
    BitMask bits(mask);
    const int x = *rc::gen::inRange(-70, mask.cols + 5), y = *rc::gen::inRange(-1, mask.rows + 1);
    const int count = *rc::gen::inRange(0, 65);
    const BitMask::Word found = bits.bits(x, y, count);
    for (int i = 0; i < 64; ++i) {
      const bool there = i < count && x + i >= 0 && x + i < mask.cols && y >= 0 && y < mask.rows;
      RC_ASSERT((found >> i & 1) == (there ? mask.at<std::uint8_t>(y, x + i) : 0U));
    }
    if (x < 0 || x >= mask.cols || y < 0 || y >= mask.rows)
      return;
    bits.flip(x, y, found);
    cv::Mat after = mask.clone();
    for (int i = 0; i < std::min(count, mask.cols - x); ++i)
      after.at<std::uint8_t>(y, x + i) = 0;
    RC_ASSERT(same(bits.bytes(), after));
  });
}

TEST(BitMask, GrowsAndWearsAsOpenCvDoes) {
  holds_always([] {
    const cv::Mat mask = some_mask();
    const int reach = *rc::gen::inRange(0, 80);
    cv::Mat grown_plainly, square, cross;
    cv::dilate(mask, grown_plainly, cv::Mat::ones(2 * reach + 1, 2 * reach + 1, CV_8U));
    RC_ASSERT(same(grown(BitMask(mask), reach).bytes(), grown_plainly));
    cv::erode(mask, square, cv::Mat::ones(3, 3, CV_8U));
    RC_ASSERT(same(worn(BitMask(mask), false).bytes(), square));
    cv::erode(mask, cross, cv::getStructuringElement(cv::MORPH_CROSS, {3, 3}));
    RC_ASSERT(same(worn(BitMask(mask), true).bytes(), cross));
  });
}

TEST(BitMask, TurnsSinglePointsOnAndOff) {
  holds_always([] {
    cv::Mat mask = some_mask();
    BitMask bits(mask);
    const int x = any_whole(0, mask.cols - 1), y = any_whole(0, mask.rows - 1);
    const bool in = any_whole(0, 1) == 1;
    in ? bits.set(x, y) : bits.clear(x, y);
    mask.at<std::uint8_t>(y, x) = in ? 1 : 0;
    RC_ASSERT(same(bits.bytes(), mask));
  });
}

TEST(BitMask, SetsAndClearsPartsOfRows) {
  holds_always([] {
    cv::Mat mask = some_mask();
    BitMask bits(mask);
    const int y = any_whole(-2, mask.rows + 1), begin = any_whole(-9, 160), end = any_whole(-9, 160);
    const bool in = any_whole(0, 1) == 1;
    in ? bits.set_run(y, begin, end) : bits.clear_run(y, begin, end);
    for (int x = std::max(begin, 0); x < std::min(end, mask.cols) && y >= 0 && y < mask.rows; ++x)
      mask.at<std::uint8_t>(y, x) = in ? 1 : 0;
    RC_ASSERT(same(bits.bytes(), mask));
  });
}

TEST(BitMask, CutsOutAndFrames) {
  holds_always([] {
    const cv::Mat mask = some_mask();
    const cv::Rect box(any_whole(-90, 160), any_whole(-90, 160), any_whole(1, 200), any_whole(1, 200));
    const bool beyond = any_whole(0, 1) == 1;
    const cv::Mat cut = BitMask(mask).cut_out(box, beyond).bytes();
    RC_ASSERT(same(cut, drawn_mask(box.width, box.height, [&](int x, int y) {
                     const cv::Point p = cv::Point(x, y) + box.tl();
                     return p.inside(cv::Rect({0, 0}, mask.size())) ? mask.at<std::uint8_t>(p) != 0 : beyond;
                   })));
  });
}

// Word by word, as two masks of one size are.
TEST(BitMask, CombinesWithAnother) {
  holds_always([] {
    const cv::Mat one = some_mask();
    cv::Mat other = some_mask();
    cv::resize(other, other, one.size(), 0, 0, cv::INTER_NEAREST);
    const BitMask a(one), b(other);
    BitMask both = a, either = a, differing = a, rest = a;
    RC_ASSERT(same((both &= b).bytes(), one & other));
    RC_ASSERT(same((either |= b).bytes(), one | other));
    RC_ASSERT(same((differing ^= b).bytes(), one ^ other));
    RC_ASSERT(same(rest.remove(b).bytes(), one & (1 - other)));
    const int begin = any_whole(0, one.rows), end = any_whole(begin, one.rows);
    cv::Mat kept = cv::Mat::zeros(one.size(), CV_8U);
    for (int y = begin; y < end; ++y)
      one.row(y).copyTo(kept.row(y));
    BitMask some = a;
    some.keep_rows(begin, end);
    RC_ASSERT(same(some.bytes(), kept));
  });
}

}  // namespace
}  // namespace powderplan
