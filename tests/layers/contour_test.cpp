#include "layers/contour.h"

#include <functional>
#include <numbers>

#include "separation/width_rule.h"
#include "stencil_judge.h"

namespace powderplan {
namespace {

constexpr double pi = std::numbers::pi;
constexpr Millimetres pitch{0.25}, tolerance{0.1};

std::vector<PolygonMm> contours_of(const cv::Mat& mask) {
  return contours(to_image(mask), pitch, tolerance);
}

// `inside` in mm.
template <class Inside>
cv::Mat drawn_in_mm(double width, double height, Inside&& inside) {
  const double p = pitch.value();
  return drawn_mask(static_cast<int>(std::lround(width / p)), static_cast<int>(std::lround(height / p)),
                    [&](int x, int y) { return inside((x + 0.5) * p, (y + 0.5) * p); });
}

double largest(const PolygonMm& polygon, const std::function<double(PointMm)>& off) {
  double most = 0;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const PointMm a = polygon[i], b = polygon[(i + 1) % polygon.size()];
    for (int k = 0; k < 20; ++k)
      most = std::max(most, std::abs(off({a.x + (b.x - a.x) * k / 20, a.y + (b.y - a.y) * k / 20})));
  }
  return most;
}

TEST(Contour, ACircleIsRound) {
  for (const double r : {1.5, 3.0, 8.0, 20.0}) {
    const double c = r + 1.3;
    const auto polygons = contours_of(
        drawn_in_mm(2 * c + 1, 2 * c + 1, [&](double x, double y) { return std::hypot(x - c, y - c) < r; }));
    ASSERT_EQ(polygons.size(), 1U);
    EXPECT_LT(largest(polygons[0], [&](PointMm p) { return std::hypot(p.x - c, p.y - c) - r; }), 0.17) << r;
    EXPECT_NEAR(area_of(polygons[0]), pi * r * r, 0.01 * pi * r * r + 0.1) << r;
    EXPECT_NEAR(perimeter_of(polygons[0]), 2 * pi * r, 0.015 * 2 * pi * r) << r;
    // A cutter's path, not the grid's: a chord that leaves a circle by the tolerance is 2 * sqrt(2 r t) long.
    EXPECT_LE(static_cast<double>(polygons[0].size()), 2.5 * pi * r / std::sqrt(2 * r * 0.1)) << r;
  }
}

TEST(Contour, AnEllipseAslant) {
  const double a = 15, b = 6, turn = 0.4;
  const auto polygons = contours_of(drawn_in_mm(40, 30, [&](double x, double y) {
    const double u = (x - 20) * std::cos(turn) + (y - 15) * std::sin(turn);
    const double v = (y - 15) * std::cos(turn) - (x - 20) * std::sin(turn);
    return u * u / (a * a) + v * v / (b * b) < 1;
  }));
  ASSERT_EQ(polygons.size(), 1U);
  EXPECT_NEAR(area_of(polygons[0]), pi * a * b, 0.005 * pi * a * b);
  // Ramanujan 1914.
  const double h = (a - b) * (a - b) / ((a + b) * (a + b));
  const double perimeter = pi * (a + b) * (1 + 3 * h / (10 + std::sqrt(4 - 3 * h)));
  EXPECT_NEAR(perimeter_of(polygons[0]), perimeter, 0.01 * perimeter);
}

// A rectangle along the grid comes back as it was drawn, its corners rounded to the rule's radius of 1 mm.
TEST(Contour, ARectangleAlongTheGrid) {
  const cv::Mat drawn =
      drawn_in_mm(30, 20, [](double x, double y) { return x > 5 && x < 25 && y > 4 && y < 14; });
  const auto polygons = contours_of(WidthRule(Millimetres(2), pitch).shrunk_to_rule(drawn));
  ASSERT_EQ(polygons.size(), 1U);
  EXPECT_LE(polygons[0].size(), 20U);
  EXPECT_NEAR(area_of(polygons[0]), 200 - (4 - pi), 0.3);
  EXPECT_NEAR(perimeter_of(polygons[0]), 60 - (8 - 2 * pi), 0.4);
  for (const double y : {4.0, 14.0}) {
    // Two corners and a side between them lie on the very line.
    EXPECT_EQ(std::count_if(polygons[0].begin(), polygons[0].end(),
                            [&](PointMm p) { return std::abs(p.y - y) < 0.005; }),
              2)
        << y;
  }
}

// The steps of the grid go: a slanted edge is straight, with no corner between its ends.
TEST(Contour, ASlantedBandHasStraightSides) {
  for (const double slope : {0.02, 0.1, 0.37, 0.7, 1.0, 1.9}) {
    const double across = 4 * std::hypot(1, slope);
    const auto polygons = contours_of(drawn_in_mm(
        60, 60, [&](double x, double y) { return std::abs(y - 30 - slope * (x - 30)) < across / 2; }));
    ASSERT_EQ(polygons.size(), 1U) << slope;
    EXPECT_LE(polygons[0].size(), 10U) << slope;
    EXPECT_LT(largest(polygons[0],
                      [&](PointMm p) {
                        const bool on_edge = p.x < 0.01 || p.y < 0.01 || p.x > 59.99 || p.y > 59.99;
                        const double from_middle =
                            std::abs(p.y - 30 - slope * (p.x - 30)) / std::hypot(1, slope);
                        return on_edge ? 0 : from_middle - 2;
                      }),
              0.15)
        << slope;
  }
}

TEST(Contour, AnOpeningAtTheEdgeEndsOnIt) {
  const auto polygons =
      contours_of(drawn_in_mm(30, 20, [](double x, double y) { return std::hypot(x - 15, y) < 8; }));
  ASSERT_EQ(polygons.size(), 1U);
  const auto on_edge =
      std::count_if(polygons[0].begin(), polygons[0].end(), [](PointMm p) { return p.y == 0; });
  EXPECT_EQ(on_edge, 2);
  EXPECT_NEAR(area_of(polygons[0]), pi * 64 / 2, 0.01 * pi * 32);
  for (const PointMm& p : polygons[0]) {
    if (p.y == 0) {
      EXPECT_NEAR(std::abs(p.x - 15), 8, 0.2);
    }
  }
}

TEST(Contour, OpenEverywhereIsThePieceItself) {
  for (const auto& [width, height] : {std::pair{40, 30}, {1, 9}, {9, 1}, {1, 1}, {2, 2}}) {
    const auto polygons = contours_of(cv::Mat(height, width, CV_8U, cv::Scalar(1)));
    ASSERT_EQ(polygons.size(), 1U);
    EXPECT_EQ(polygons[0].size(), 4U);
    EXPECT_NEAR(area_of(polygons[0]), width * height * 0.0625, 1e-9);
  }
  EXPECT_TRUE(contours_of(cv::Mat(20, 20, CV_8U, cv::Scalar(0))).empty());
  EXPECT_TRUE(contours({}, pitch, tolerance).empty());
}

// A ring's band between two circles, cut open on one side so that it holds no island: its width is kept.
TEST(Contour, ARingKeepsItsWidth) {
  const auto polygons = contours_of(drawn_in_mm(44, 44, [](double x, double y) {
    const double r = std::hypot(x - 22, y - 22);
    return r > 15 && r < 19 && !(x > 22 && std::abs(y - 22) < 1.5);
  }));
  ASSERT_EQ(polygons.size(), 1U);
  EXPECT_NEAR(area_of(polygons[0]), pi * (19 * 19 - 15 * 15) - 4 * 3, 0.01 * pi * 136);
  for (const PointMm& p : polygons[0]) {
    const double r = std::hypot(p.x - 22, p.y - 22);
    if (std::abs(p.y - 22) > 2.2 || p.x < 22) {
      EXPECT_LT(std::min(std::abs(r - 15), std::abs(r - 19)), 0.17);
    }
  }
}

// Openings (4-connected), by flood fill.
int parts_by_sides(const cv::Mat& mask) {
  cv::Mat labels;
  return cv::connectedComponents(mask, labels, 4) - 1;
}

TEST(Contour, PolygonsAreSimpleApartAndNearTheMask) {
  holds_always(
      [] {
        const cv::Mat drawn = any_stencil_mask(60);
        const int smallest = any_whole(1, 8);
        const cv::Mat mask =
            any_whole(0, 2) == 0 ? drawn : WidthRule(pitch * smallest, pitch).shrunk_to_rule(drawn);
        const auto polygons = contours_of(mask);
        RC_ASSERT(simple_and_apart(polygons));
        for (const PolygonMm& polygon : polygons) {
          for (const PointMm& p : polygon) {
            RC_ASSERT(p.x >= 0.0 && p.y >= 0.0);
            RC_ASSERT(p.x <= mask.cols * pitch.value());
            RC_ASSERT(p.y <= mask.rows * pitch.value());
          }
        }
        // No sample farther from an edge of the mask than half a point aslant and the tolerance is on the
        // other side; islands, which are left out, count as open.
        cv::Mat filled = mask.clone();
        cv::Mat outside(mask.rows + 2, mask.cols + 2, CV_8U, cv::Scalar(1));
        cv::Mat(1 - mask).copyTo(outside(cv::Rect(1, 1, mask.cols, mask.rows)));
        cv::Mat sheets;
        cv::connectedComponents(outside, sheets, 8, CV_32S);
        for (int y = 0; y < mask.rows; ++y) {
          for (int x = 0; x < mask.cols; ++x)
            filled.at<std::uint8_t>(y, x) = sheets.at<int>(y + 1, x + 1) != sheets.at<int>(0, 0);
        }
        RC_ASSERT(static_cast<int>(polygons.size()) == parts_by_sides(filled));
        constexpr int fine = 8;
        const double step = pitch.value() / fine;
        const cv::Mat times =
            times_covered(polygons, mask.cols * pitch.value(), mask.rows * pitch.value(), step, 0);
        const double bound = 0.5 * std::numbers::sqrt2 * pitch.value() + tolerance.value();
        const int reach = static_cast<int>(std::ceil(bound / pitch.value()));
        for (int y = 0; y < times.rows; ++y) {
          for (int x = 0; x < times.cols; ++x) {
            const int covered = times.at<std::uint8_t>(y, x);
            RC_ASSERT(covered <= 1);
            const int value = filled.at<std::uint8_t>(y / fine, x / fine);
            if (covered == value)
              continue;
            bool near = false;
            for (int ny = y / fine - reach; ny <= y / fine + reach && !near; ++ny) {
              for (int nx = x / fine - reach; nx <= x / fine + reach && !near; ++nx) {
                const bool in = nx >= 0 && ny >= 0 && nx < mask.cols && ny < mask.rows;
                if ((in ? filled.at<std::uint8_t>(ny, nx) : 0) == value)
                  continue;
                const double dx = std::max({nx * pitch.value() - (x + 0.5) * step,
                                            (x + 0.5) * step - (nx + 1) * pitch.value(), 0.0});
                const double dy = std::max({ny * pitch.value() - (y + 0.5) * step,
                                            (y + 0.5) * step - (ny + 1) * pitch.value(), 0.0});
                near = std::hypot(dx, dy) <= bound;
              }
            }
            RC_ASSERT(near);
          }
        }
      },
      300);
}

}  // namespace
}  // namespace powderplan
