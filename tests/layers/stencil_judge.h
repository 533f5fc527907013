// Judges masks and polygons of stencils without the code under test: flood fill, points in polygons by
// counting crossings, every side against every other.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "masks.h"
#include "raster/bit_mask.h"
#include "shape.h"

namespace powderplan {

inline Image<std::uint8_t> to_image(const cv::Mat& mask) {
  Image<std::uint8_t> image(mask.cols, mask.rows);
  for (int y = 0; y < mask.rows; ++y) {
    for (int x = 0; x < mask.cols; ++x)
      image.at(x, y) = mask.at<std::uint8_t>(y, x);
  }
  return image;
}

inline cv::Mat to_mat(const Image<std::uint8_t>& image) {
  return drawn_mask(image.width(), image.height(), [&](int x, int y) { return image.at(x, y) != 0; });
}

inline cv::Mat to_mat(const BitMask& mask) {
  return drawn_mask(mask.width(), mask.height(), [&](int x, int y) { return mask.at(x, y); });
}

// Points of the sheet (0, with a border of one point round the piece) that cannot be reached from the border
// by steps from side to side.
inline int loose_points(const cv::Mat& open) {
  cv::Mat sheet(open.rows + 2, open.cols + 2, CV_8U, cv::Scalar(1));
  for (int y = 0; y < open.rows; ++y) {
    for (int x = 0; x < open.cols; ++x)
      sheet.at<std::uint8_t>(y + 1, x + 1) = open.at<std::uint8_t>(y, x) == 0;
  }
  std::vector<cv::Point> reached{{0, 0}};
  sheet.at<std::uint8_t>(0, 0) = 0;
  for (std::size_t i = 0; i < reached.size(); ++i) {
    for (const auto& [dx, dy] : std::array<std::pair<int, int>, 4>{{{1, 0}, {-1, 0}, {0, 1}, {0, -1}}}) {
      const cv::Point p = reached[i] + cv::Point(dx, dy);
      if (p.x >= 0 && p.y >= 0 && p.x < sheet.cols && p.y < sheet.rows && sheet.at<std::uint8_t>(p) != 0) {
        sheet.at<std::uint8_t>(p) = 0;
        reached.push_back(p);
      }
    }
  }
  return cv::countNonZero(sheet);
}

// Openings that meet by nothing but a corner.
inline int corner_touches(const cv::Mat& open) {
  int count = 0;
  for (int y = 0; y + 1 < open.rows; ++y) {
    for (int x = 0; x + 1 < open.cols; ++x) {
      const auto at = [&](int dx, int dy) { return open.at<std::uint8_t>(y + dy, x + dx); };
      count += at(0, 0) == at(1, 1) && at(1, 0) == at(0, 1) && at(0, 0) != at(1, 0);
    }
  }
  return count;
}

// How many polygons hold each sample of a grid over the piece and `margin` samples round it; a sample is the
// middle of a square of `step` mm. A ray to the left crosses a polygon's sides an odd number of times from
// inside.
inline cv::Mat times_covered(const std::vector<PolygonMm>& polygons, double width, double height, double step,
                             int margin) {
  const int columns = static_cast<int>(std::lround(width / step)) + 2 * margin;
  const int rows = static_cast<int>(std::lround(height / step)) + 2 * margin;
  cv::Mat times = cv::Mat::zeros(rows, columns, CV_8U);
  for (const PolygonMm& polygon : polygons) {
    for (int y = 0; y < rows; ++y) {
      const double at = (y - margin + 0.5) * step;
      std::vector<double> crossings;
      for (std::size_t i = 0; i < polygon.size(); ++i) {
        const PointMm a = polygon[i], b = polygon[(i + 1) % polygon.size()];
        if ((a.y <= at) != (b.y <= at))
          crossings.push_back(a.x + (b.x - a.x) * (at - a.y) / (b.y - a.y));
      }
      std::sort(crossings.begin(), crossings.end());
      for (std::size_t i = 0; i + 1 < crossings.size(); i += 2) {
        const int first = std::max(0, static_cast<int>(std::ceil(crossings[i] / step - 0.5)) + margin);
        const int end =
            std::min(columns, static_cast<int>(std::ceil(crossings[i + 1] / step - 0.5)) + margin);
        for (int x = first; x < end; ++x)
          ++times.at<std::uint8_t>(y, x);
      }
    }
  }
  return times;
}

// Whether two lines have a point in common.
inline bool lines_meet(PointMm a, PointMm b, PointMm c, PointMm d) {
  const auto side = [](PointMm p, PointMm q, PointMm r) {
    const double turn = (q.x - p.x) * (r.y - p.y) - (q.y - p.y) * (r.x - p.x);
    return turn > 0 ? 1 : turn < 0 ? -1 : 0;
  };
  const auto in_box = [](PointMm p, PointMm q, PointMm r) {
    return r.x >= std::min(p.x, q.x) && r.x <= std::max(p.x, q.x) && r.y >= std::min(p.y, q.y) &&
           r.y <= std::max(p.y, q.y);
  };
  const int s1 = side(a, b, c), s2 = side(a, b, d), s3 = side(c, d, a), s4 = side(c, d, b);
  return (s1 * s2 < 0 && s3 * s4 < 0) || (s1 == 0 && in_box(a, b, c)) || (s2 == 0 && in_box(a, b, d)) ||
         (s3 == 0 && in_box(c, d, a)) || (s4 == 0 && in_box(c, d, b));
}

// Simple, and apart from each other: no two sides meet but neighbours in their common corner.
inline bool simple_and_apart(const std::vector<PolygonMm>& polygons) {
  struct Side {
    std::size_t polygon, number, count;
    PointMm a, b;
  };
  std::vector<Side> sides;
  for (std::size_t p = 0; p < polygons.size(); ++p) {
    const PolygonMm& polygon = polygons[p];
    if (polygon.size() < 3)
      return false;
    for (std::size_t i = 0; i < polygon.size(); ++i)
      sides.push_back({p, i, polygon.size(), polygon[i], polygon[(i + 1) % polygon.size()]});
  }
  for (std::size_t i = 0; i < sides.size(); ++i) {
    for (std::size_t k = i + 1; k < sides.size(); ++k) {
      const Side &s = sides[i], &t = sides[k];
      const bool neighbours = s.polygon == t.polygon &&
                              ((s.number + 1) % s.count == t.number || (t.number + 1) % t.count == s.number);
      if (!neighbours && lines_meet(s.a, s.b, t.a, t.b))
        return false;
    }
  }
  return true;
}

// Positive whichever way round the polygon goes.
inline double area_of(const PolygonMm& polygon) {
  double twice = 0;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const PointMm a = polygon[i], b = polygon[(i + 1) % polygon.size()];
    twice += a.x * b.y - a.y * b.x;
  }
  return std::abs(twice) / 2;
}

inline double perimeter_of(const PolygonMm& polygon) {
  double sum = 0;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const PointMm a = polygon[i], b = polygon[(i + 1) % polygon.size()];
    sum += std::hypot(b.x - a.x, b.y - a.y);
  }
  return sum;
}

// Masks of many kinds, up to `most` points wide and high: noise, stripes and discs (masks.h), checkerboards,
// spirals, nested rings, letters, empty, full, and one point wide.
inline cv::Mat any_stencil_mask(int most) {
  const int kind = any_whole(0, 9);
  if (kind <= 2)
    return any_mask(most);
  const int width = kind == 9 ? 1 : any_whole(2, most), height = any_whole(1, most);
  const int across = kind == 9 && any_whole(0, 1) == 1 ? 1 : 0;
  const int columns = across == 1 ? height : width, rows = across == 1 ? width : height;
  if (kind == 3) {
    const int side = any_whole(1, 12);
    return drawn_mask(columns, rows, [&](int x, int y) { return (x / side + y / side) % 2 == 0; });
  }
  const double cx = any_between(0, columns), cy = any_between(0, rows), period = any_between(3, 24);
  const double share = any_between(0.2, 0.8);
  if (kind == 4) {
    return drawn_mask(columns, rows, [&](int x, int y) {
      const double turns = std::atan2(y - cy, x - cx) / (2 * std::numbers::pi);
      const double along = std::hypot(x - cx, y - cy) / period + turns;
      return along - std::floor(along) < share;
    });
  }
  if (kind == 5 || kind == 6) {
    return drawn_mask(columns, rows, [&](int x, int y) {
      const double along = std::hypot(x - cx, y - cy) / period;
      return along - std::floor(along) < share;
    });
  }
  if (kind == 7) {
    cv::Mat mask = cv::Mat::zeros(rows, columns, CV_8U);
    const char letter[2] = {static_cast<char>(any_whole('!', '~')), 0};
    cv::putText(mask, letter, {any_whole(0, 4), rows - any_whole(0, 4)}, cv::FONT_HERSHEY_SIMPLEX,
                rows / 24.0, cv::Scalar(1), any_whole(1, std::max(1, rows / 6)));
    return any_whole(0, 1) == 0 ? mask : cv::Mat(1 - mask);
  }
  if (kind == 8)
    return {rows, columns, CV_8U, cv::Scalar(any_whole(0, 1))};
  std::mt19937 random(static_cast<unsigned>(any_whole(0, 1000000)));
  return drawn_mask(columns, rows, [&](int, int) { return random() % 3 != 0; });
}

// What closing costs: a few flat patches, and noise; now and then below zero.
inline Image<float> any_cost(int width, int height) {
  std::mt19937 random(static_cast<unsigned>(any_whole(0, 1000000)));
  const auto up_to = [&](double most) { return most * static_cast<double>(random()) / 4294967295.0; };
  struct Patch {
    double x, y, cost;
  };
  std::vector<Patch> patches;
  for (int i = 0; i < 6; ++i)
    patches.push_back({up_to(width), up_to(height), i == 0 ? -1.0 : up_to(25)});
  Image<float> cost(width, height);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      const auto nearest =
          std::min_element(patches.begin(), patches.end(), [&](const Patch& a, const Patch& b) {
            return std::hypot(a.x - x, a.y - y) < std::hypot(b.x - x, b.y - y);
          });
      cost.at(x, y) = static_cast<float>(nearest->cost + up_to(2) - 1);
    }
  }
  return cost;
}

}  // namespace powderplan
