#include "layers/mask_parts.h"

#include "masks.h"
#include "stencil_judge.h"

namespace powderplan {
namespace {

// OpenCV numbers its parts in some order; ours are in the order in which they are met.
void expect_same_parts(const cv::Mat& mask, Touching touching) {
  const MaskParts parts(to_image(mask), touching);
  cv::Mat labels, stats, centres;
  const int count = cv::connectedComponentsWithStats(mask, labels, stats, centres,
                                                     touching == Touching::by_sides ? 4 : 8, CV_32S);
  RC_ASSERT(parts.count() == count - 1);
  std::vector<int> label_of(static_cast<std::size_t>(count), 0);
  int met = 0;
  for (int y = 0; y < mask.rows; ++y) {
    for (int x = 0; x < mask.cols; ++x) {
      const int part = parts.at(x, y), label = labels.at<int>(y, x);
      RC_ASSERT((part == 0) == (label == 0));
      if (part > met) {
        RC_ASSERT(part == ++met);
        label_of[static_cast<std::size_t>(part)] = label;
      }
      RC_ASSERT(label_of[static_cast<std::size_t>(part)] == label);
    }
  }
  for (int part = 1; part <= parts.count(); ++part) {
    const int label = label_of[static_cast<std::size_t>(part)];
    const auto stat = [&](int which) { return stats.at<int>(label, which); };
    RC_ASSERT(parts.boxes()[static_cast<std::size_t>(part)] ==
              cv::Rect(stat(cv::CC_STAT_LEFT), stat(cv::CC_STAT_TOP), stat(cv::CC_STAT_WIDTH),
                       stat(cv::CC_STAT_HEIGHT)));
  }
}

TEST(MaskParts, HangTogetherBySidesOrCorners) {
  holds_always([] {
    const cv::Mat mask = any_whole(0, 1) == 0 ? any_mask(150) : any_stencil_mask(90);
    expect_same_parts(mask, Touching::by_sides);
    expect_same_parts(mask, Touching::by_corners_too);
  });
}

TEST(MaskParts, OfNothing) {
  EXPECT_EQ(MaskParts().count(), 0);
  EXPECT_EQ(MaskParts(BitMask(), Touching::by_sides).count(), 0);
  EXPECT_EQ(MaskParts(BitMask(70, 3), Touching::by_sides).count(), 0);
  EXPECT_EQ(MaskParts(BitMask(70, 3, true), Touching::by_sides).at(69, 2), 1);
}

}  // namespace
}  // namespace powderplan
