#include "separation/bit_mask.h"

#include <opencv2/imgproc.hpp>

#include "masks.h"
#include "separation/mask_parts.h"

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
    cv::Mat visited = cv::Mat::zeros(mask.size(), CV_8U);
    bits.for_each([&](int x, int y) { ++visited.at<std::uint8_t>(y, x); });
    RC_ASSERT(same(visited, mask));
  });
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

// Every part is what OpenCV calls connected in its tile, and all of it.
TEST(MaskParts, AreTheConnectedPartsOfEachTile) {
  holds_always([] {
    const cv::Mat mask = some_mask();
    const int tile = *rc::gen::inRange(1, largest_tile + 1);
    const int begin = *rc::gen::inRange(0, mask.rows), end = *rc::gen::inRange(begin, mask.rows + 1);
    cv::Mat seen = cv::Mat::zeros(mask.size(), CV_8U);
    for_each_part(BitMask(mask), tile, begin, end, [&](const MaskPart& part) {
      const cv::Rect place = cv::Rect(part.left, part.top, tile, tile) & cv::Rect(0, 0, mask.cols, end);
      cv::Mat ids;
      cv::connectedComponents(mask(place), ids, 8);
      int id = 0, points = 0;
      part.for_each([&](int x, int y) {
        RC_ASSERT(place.contains({x, y}));
        const int here = ids.at<int>(y - place.y, x - place.x);
        RC_ASSERT(here != 0);
        RC_ASSERT(id == 0 || here == id);
        id = here;
        ++points;
        ++seen.at<std::uint8_t>(y, x);
      });
      RC_ASSERT(points == cv::countNonZero(ids == id));
    });
    for (int y = 0; y < mask.rows; ++y) {
      for (int x = 0; x < mask.cols; ++x)
        RC_ASSERT(seen.at<std::uint8_t>(y, x) == (y >= begin && y < end ? mask.at<std::uint8_t>(y, x) : 0));
    }
  });
}

}  // namespace
}  // namespace powderplan
