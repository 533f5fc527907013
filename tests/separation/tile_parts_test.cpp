#include "separation/tile_parts.h"

#include <opencv2/imgproc.hpp>

#include "masks.h"

namespace powderplan {
namespace {

// Every part is what OpenCV calls connected in its tile, and all of it.
TEST(TileParts, AreTheConnectedPartsOfEachTile) {
  holds_always([] {
    const cv::Mat mask = any_mask(150);
    const int tile = *rc::gen::inRange(1, largest_tile + 1);
    const int begin = *rc::gen::inRange(0, mask.rows), end = *rc::gen::inRange(begin, mask.rows + 1);
    cv::Mat seen = cv::Mat::zeros(mask.size(), CV_8U);
    for_each_part(BitMask(mask), tile, begin, end, [&](const TilePart& part) {
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
