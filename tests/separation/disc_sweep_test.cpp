#include "separation/disc_sweep.h"

#include <opencv2/imgproc.hpp>

#include "masks.h"
#include "parallel.h"
#include "separation/disc_opening.h"

namespace powderplan {
namespace {

// The points of a disc one by one.
std::vector<cv::Point> disc_of(int diameter) {
  const cv::Mat kernel = points_of_disc(diameter);
  std::vector<cv::Point> disc;
  cv::findNonZero(kernel, disc);
  for (cv::Point& p : disc)
    p -= cv::Point(diameter / 2, diameter / 2);
  return disc;
}

std::vector<cv::Point> listed(const DiscRows& rows) {
  std::vector<cv::Point> points;
  int y = rows.first_row;
  for (const DiscRows::Run& run : rows.rows) {
    for (int i = 0; i < run.length; ++i)
      points.emplace_back(run.first + i, y);
    ++y;
  }
  return points;
}

TEST(DiscSweep, RowsOfADiscAreItsPoints) {
  for (int diameter = 1; diameter <= 150; ++diameter) {
    std::vector<cv::Point> disc = disc_of(diameter);
    EXPECT_EQ(listed(rows_of_disc(diameter, false)), disc) << diameter;
    std::reverse(disc.begin(), disc.end());
    for (cv::Point& p : disc)
      p = -p;
    EXPECT_EQ(listed(rows_of_disc(diameter, true)), disc) << diameter;
  }
}

// As what OpenCV's erosion and dilation say of the same disc.
void expect_places(const cv::Mat& mask, int diameter) {
  const cv::Mat kernel = points_of_disc(diameter);
  const cv::Point anchor(diameter / 2, diameter / 2);
  cv::Mat places, touching, mirrored, covered;
  cv::erode(mask, places, kernel, anchor);
  RC_ASSERT(same(places_of_disc(BitMask(mask), diameter).bytes(), places));
  cv::dilate(mask, touching, kernel, anchor);
  RC_ASSERT(same(discs_touching(BitMask(mask), diameter).bytes(), touching));
  cv::flip(kernel, mirrored, -1);
  cv::dilate(mask, covered, mirrored, cv::Point(diameter - 1, diameter - 1) - anchor);
  RC_ASSERT(same(covered_by_discs(BitMask(mask), diameter).bytes(), covered));
}

TEST(DiscSweep, IsErosionAndDilation) {
  holds_always([] { expect_places(any_mask(150), any_whole(1, 12)); });
}

TEST(DiscSweep, OfDiscsWiderThanAWord) {
  holds_always([] { expect_places(any_mask(200), any_whole(60, 140)); }, 20);
}

// Masks taller than what is swept at once.
TEST(DiscSweep, IsTheSameOnOneThread) {
  const cv::Mat mask =
      drawn_mask(90, 700, [](int x, int y) { return x * x % 37 < 30 && (x + y * y) % 61 != 0; });
  const auto opened = [&](unsigned threads) {
    const ThreadCount count(threads);
    return opened_by_disc(BitMask(mask), 6).bytes();
  };
  EXPECT_TRUE(same(opened(1), opened_by_disc_plainly(mask, 6)));
  EXPECT_TRUE(same(opened(3), opened(1)));
}

TEST(DiscSweep, ClearsDiscsRoundPoints) {
  holds_always([] {
    const int diameter = any_whole(1, 12);
    std::vector<cv::Point> points;
    for (int i = any_whole(0, 3); i > 0; --i)
      points.emplace_back(any_whole(-5, 105), any_whole(-5, 35));
    BitMask bits(100, 30, true);
    clear_discs(bits, rows_of_disc(diameter, false), points);
    cv::Mat mask(30, 100, CV_8U, cv::Scalar(1));
    for (const cv::Point& at : points) {
      for (const cv::Point& offset : disc_of(diameter)) {
        if ((at + offset).inside(cv::Rect(0, 0, 100, 30)))
          mask.at<std::uint8_t>(at + offset) = 0;
      }
    }
    RC_ASSERT(same(bits.bytes(), mask));
  });
}

}  // namespace
}  // namespace powderplan
