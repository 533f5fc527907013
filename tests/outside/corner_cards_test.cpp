// The printed corner cards, drawn by another program (pdftoppm of poppler-utils) and measured.
#include <gtest/gtest.h>

#include <cmath>
#include <fstream>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "outside/programs.h"
#include "photo/piece_card.h"
#include "raster/picture.h"
#include "report/corner_cards_pdf.h"
#include "report/temporary_folder.h"

namespace powderplan {
namespace {

constexpr int dpi = 300;
constexpr double px_per_mm = dpi / 25.4;

// Black is 1.
cv::Mat drawn(const Paper& paper) {
  const TemporaryFolder place;
  const std::vector<std::uint8_t> pdf = corner_cards_pdf(paper);
  std::ofstream(place.path() / "cards.pdf", std::ios::binary)
      .write(reinterpret_cast<const char*>(pdf.data()), static_cast<std::streamsize>(pdf.size()));
  const std::string command = "pdftoppm -r " + std::to_string(dpi) + " -gray -singlefile '" +
                              (place.path() / "cards.pdf").string() + "' '" +
                              (place.path() / "page").string() + "'";
  EXPECT_EQ(testing::output_of(command), "");
  const Image<LinearPixel> page = read_picture(place.path() / "page.pgm").pixels;
  cv::Mat black(page.height(), page.width(), CV_8U);
  for (std::size_t i = 0; i < page.size(); ++i)
    black.data[i] = page[i].g < 0.2F ? 1 : 0;
  return black;
}

struct Mark {
  PointMm centre;
  double area = 0;  // black, mm2
  bool eye = false;
};

// Black rings of the size of a mark's outer one, with what is inside.
std::vector<Mark> marks_on(const cv::Mat& black) {
  cv::Mat labels, stats, centres;
  const int count = cv::connectedComponentsWithStats(black, labels, stats, centres, 8);
  std::vector<Mark> marks;
  for (int i = 1; i < count; ++i) {
    const double width = stats.at<int>(i, cv::CC_STAT_WIDTH) / px_per_mm;
    const double height = stats.at<int>(i, cv::CC_STAT_HEIGHT) / px_per_mm;
    if (std::abs(width - 2 * mark_radii[0]) > 0.3 || std::abs(height - 2 * mark_radii[0]) > 0.3)
      continue;
    Mark mark;
    mark.centre = {(centres.at<double>(i, 0) + 0.5) / px_per_mm,
                   (centres.at<double>(i, 1) + 0.5) / px_per_mm};
    const int side = stats.at<int>(i, cv::CC_STAT_WIDTH);
    const cv::Mat square(black,
                         cv::Rect(stats.at<int>(i, cv::CC_STAT_LEFT), stats.at<int>(i, cv::CC_STAT_TOP), side,
                                  stats.at<int>(i, cv::CC_STAT_HEIGHT)));
    mark.area = cv::countNonZero(square) / (px_per_mm * px_per_mm);
    mark.eye = square.at<std::uint8_t>(square.rows / 2, square.cols / 2) == 0;
    marks.push_back(mark);
  }
  return marks;
}

TEST(CornerCards, FourMarksAtTrueSizeOneWithTheEye) {
  if (!testing::has_program("pdftoppm"))
    GTEST_SKIP() << "no pdftoppm";
  for (const Paper* paper : {&paper_a4, &paper_letter}) {
    const cv::Mat page = drawn(*paper);
    EXPECT_NEAR(page.cols / px_per_mm, paper->width.value(), 0.2);
    EXPECT_NEAR(page.rows / px_per_mm, paper->height.value(), 0.2);
    const std::vector<Mark> marks = marks_on(page);
    ASSERT_EQ(marks.size(), 4u) << paper->name;
    double left = 1e9, top = 1e9;
    for (const Mark& mark : marks) {
      left = std::min(left, mark.centre.x);
      top = std::min(top, mark.centre.y);
    }
    for (const Mark& mark : marks) {
      const bool first = mark.centre.x < left + 1 && mark.centre.y < top + 1;
      EXPECT_EQ(mark.eye, first) << "the top left one has the white eye";
      double squares =
          mark_radii[0] * mark_radii[0] - mark_radii[1] * mark_radii[1] + mark_radii[2] * mark_radii[2];
      if (first)
        squares -= mark_radii[3] * mark_radii[3];
      const double area = std::numbers::pi * squares;
      EXPECT_NEAR(mark.area, area, 0.02 * area);
    }
  }
}

// The square of paper that is cut out: half its side from the mark's middle there is its line, on all sides.
TEST(CornerCards, TheMarkIsTheMiddleOfItsCard) {
  if (!testing::has_program("pdftoppm"))
    GTEST_SKIP() << "no pdftoppm";
  const cv::Mat page = drawn(paper_a4);
  const auto black_near = [&](double x_mm, double y_mm) {
    constexpr double step_mm = 0.05;
    for (int down = -5; down <= 5; ++down)
      for (int across = -5; across <= 5; ++across)
        if (page.at<std::uint8_t>(static_cast<int>((y_mm + down * step_mm) * px_per_mm),
                                  static_cast<int>((x_mm + across * step_mm) * px_per_mm)) != 0)
          return true;
    return false;
  };
  const double half = corner_card_mm / 2;
  for (const Mark& mark : marks_on(page)) {
    const double x = mark.centre.x, y = mark.centre.y;
    EXPECT_TRUE(black_near(x - half, y) && black_near(x + half, y)) << x << ", " << y;
    EXPECT_TRUE(black_near(x, y - half) && black_near(x, y + half)) << x << ", " << y;
    EXPECT_FALSE(black_near(x - half - 1, y) || black_near(x - half + 1, y));
    // The arrow lies in the corner that touches the piece: the inner one of the four.
    int arrows = 0;
    for (const double side_x : {-1.0, 1.0})
      for (const double side_y : {-1.0, 1.0}) {
        const bool arrow = black_near(x + side_x * (half - 1.8), y + side_y * (half - 1.8));
        arrows += arrow ? 1 : 0;
        if (arrow) {
          EXPECT_TRUE((side_x > 0) == (x < 90) && (side_y > 0) == (y < 100)) << x << ", " << y;
        }
      }
    EXPECT_EQ(arrows, 1) << x << ", " << y;
  }
}

}  // namespace
}  // namespace powderplan
