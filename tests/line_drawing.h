// Line drawings whose geometry is known, and how near a plan of lines comes to it.
#pragma once

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "layers/line_paths.h"
#include "raster/fit.h"
#include "separation/target.h"

namespace powderplan {

struct TrueStroke {
  LineMm points;
  double width_mm = 1;
  Rgb8 colour{0, 0, 0};
};

// An arc of an ellipse as short straight pieces, angles in degrees, clockwise as seen.
inline LineMm arc(PointMm middle, double across, double down, double from, double to) {
  LineMm points;
  const int pieces = std::max(2, static_cast<int>(std::abs(to - from) / 3));
  for (int i = 0; i <= pieces; ++i) {
    const double angle = (from + (to - from) * i / pieces) * 3.14159265358979 / 180;
    points.push_back({middle.x + across * std::cos(angle), middle.y + down * std::sin(angle)});
  }
  return points;
}

inline cv::Scalar scalar_of(const Rgb8& c) {
  return {static_cast<double>(c.b), static_cast<double>(c.g), static_cast<double>(c.r)};
}

inline Picture picture_of(const cv::Mat& bgr) {
  Picture picture;
  picture.pixels = Image<LinearPixel>(bgr.cols, bgr.rows);
  for (int y = 0; y < bgr.rows; ++y) {
    for (int x = 0; x < bgr.cols; ++x) {
      const cv::Vec3b& v = bgr.at<cv::Vec3b>(y, x);
      const LinearRgb linear = to_linear_rgb(Rgb8{v[2], v[1], v[0]});
      picture.pixels.at(x, y) = {static_cast<float>(linear.r), static_cast<float>(linear.g),
                                 static_cast<float>(linear.b), 1};
    }
  }
  return picture;
}

inline cv::Mat sheet_of_paper(double width_mm, double height_mm, double pixels_per_mm,
                              Rgb8 paper = {255, 255, 255}) {
  return {static_cast<int>(std::lround(height_mm * pixels_per_mm)),
          static_cast<int>(std::lround(width_mm * pixels_per_mm)), CV_8UC3, scalar_of(paper)};
}

// By OpenCV, with soft edges and round ends. Its lines are an even number of pixels wide.
inline void draw(cv::Mat& sheet, const std::vector<TrueStroke>& strokes, double pixels_per_mm) {
  constexpr int shift = 6;
  for (const TrueStroke& stroke : strokes) {
    const int thickness = std::max(1, static_cast<int>(std::lround(stroke.width_mm * pixels_per_mm)));
    const auto place = [&](const PointMm& p) {
      // OpenCV's pixel 0 has its middle at 0.
      return cv::Point(static_cast<int>(std::lround((p.x * pixels_per_mm - 0.5) * (1 << shift))),
                       static_cast<int>(std::lround((p.y * pixels_per_mm - 0.5) * (1 << shift))));
    };
    for (std::size_t i = 1; i < stroke.points.size(); ++i)
      cv::line(sheet, place(stroke.points[i - 1]), place(stroke.points[i]), scalar_of(stroke.colour),
               thickness, cv::LINE_AA, shift);
  }
}

// Exactly as wide as told, with round ends and joints: each pixel is mixed, in codes as drawing programs do,
// by how much of it the line covers, counted on eight by eight places in it.
inline void draw_exactly(cv::Mat& sheet, const std::vector<TrueStroke>& strokes, double pixels_per_mm) {
  constexpr int places = 8;
  for (const TrueStroke& stroke : strokes) {
    const double radius = stroke.width_mm * pixels_per_mm / 2;
    std::vector<std::uint64_t> covered(sheet.total());
    for (std::size_t i = 1; i < stroke.points.size(); ++i) {
      const PointMm a{stroke.points[i - 1].x * pixels_per_mm, stroke.points[i - 1].y * pixels_per_mm};
      const PointMm b{stroke.points[i].x * pixels_per_mm, stroke.points[i].y * pixels_per_mm};
      const double dx = b.x - a.x, dy = b.y - a.y, square = dx * dx + dy * dy;
      const auto away = [&](double x, double y) {
        const double share =
            square > 0 ? std::clamp(((x - a.x) * dx + (y - a.y) * dy) / square, 0.0, 1.0) : 0.0;
        return std::hypot(x - a.x - share * dx, y - a.y - share * dy);
      };
      const int left = std::max(0, static_cast<int>(std::min(a.x, b.x) - radius) - 1);
      const int right = std::min(sheet.cols - 1, static_cast<int>(std::max(a.x, b.x) + radius) + 1);
      const int top = std::max(0, static_cast<int>(std::min(a.y, b.y) - radius) - 1);
      const int bottom = std::min(sheet.rows - 1, static_cast<int>(std::max(a.y, b.y) + radius) + 1);
      for (int y = top; y <= bottom; ++y) {
        for (int x = left; x <= right; ++x) {
          const double middle = away(x + 0.5, y + 0.5);
          std::uint64_t& bits = covered[static_cast<std::size_t>(y) * static_cast<std::size_t>(sheet.cols) +
                                        static_cast<std::size_t>(x)];
          if (middle > radius + 0.71)
            continue;
          for (int v = 0; v < places; ++v) {
            for (int u = 0; u < places; ++u) {
              if (away(x + (u + 0.5) / places, y + (v + 0.5) / places) <= radius)
                bits |= std::uint64_t{1} << (v * places + u);
            }
          }
        }
      }
    }
    const cv::Scalar ink = scalar_of(stroke.colour);
    for (int y = 0; y < sheet.rows; ++y) {
      for (int x = 0; x < sheet.cols; ++x) {
        const double share =
            std::popcount(covered[static_cast<std::size_t>(y) * static_cast<std::size_t>(sheet.cols) +
                                  static_cast<std::size_t>(x)]) /
            64.0;
        cv::Vec3b& pixel = sheet.at<cv::Vec3b>(y, x);
        for (int c = 0; c < 3 && share > 0; ++c)
          pixel[c] = cv::saturate_cast<std::uint8_t>(pixel[c] + share * (ink[c] - pixel[c]));
      }
    }
  }
}

inline Target target_from(const cv::Mat& sheet, double pixels_per_mm, double pitch_mm) {
  return target_of(
      fit_to_piece(picture_of(sheet), {}, FitMode::fill,
                   {Millimetres(sheet.cols / pixels_per_mm), Millimetres(sheet.rows / pixels_per_mm)},
                   Millimetres(pitch_mm)));
}

inline double distance_to(const PointMm& p, const PointMm& a, const PointMm& b) {
  const double dx = b.x - a.x, dy = b.y - a.y, square = dx * dx + dy * dy;
  const double share =
      square > 0 ? std::clamp(((p.x - a.x) * dx + (p.y - a.y) * dy) / square, 0.0, 1.0) : 0.0;
  return std::hypot(p.x - a.x - share * dx, p.y - a.y - share * dy);
}

inline double distance_to(const PointMm& p, const LineMm& line) {
  double nearest = std::numeric_limits<double>::infinity();
  for (std::size_t i = 1; i < line.size(); ++i)
    nearest = std::min(nearest, distance_to(p, line[i - 1], line[i]));
  return nearest;
}

// Visits points every tenth of a millimetre along a line; `share` is how far along the piece between two
// points.
template <class Visit>
void along(const LineMm& line, Visit&& visit) {
  for (std::size_t i = 1; i < line.size(); ++i) {
    const double length = std::hypot(line[i].x - line[i - 1].x, line[i].y - line[i - 1].y);
    const int steps = std::max(1, static_cast<int>(length / 0.1));
    for (int s = 0; s < steps; ++s) {
      const double share = (s + 0.5) / steps;
      visit(PointMm{line[i - 1].x + share * (line[i].x - line[i - 1].x),
                    line[i - 1].y + share * (line[i].y - line[i - 1].y)},
            i, share, length / steps);
    }
  }
}

struct Nearness {
  double found = 0;        // share of the drawn length within 0.5 mm of a planned line
  double covered = 0;      // the same, or inside a planned line that is wider
  double astray = 0;       // share of the planned length farther than 1 mm from what is drawn
  double right_width = 0;  // share of the planned length whose width is within 0.15 mm or 20 %
  double mean_width_error = 0;
  double most_jump_mm = 0;  // drawn points of the largest distance from a planned line
};

inline Nearness nearness(const std::vector<TrueStroke>& strokes, const LinePlan& plan) {
  Nearness result;
  double drawn_length = 0, planned = 0;
  for (const TrueStroke& stroke : strokes) {
    along(stroke.points, [&](const PointMm& p, std::size_t, double, double step) {
      double nearest = std::numeric_limits<double>::infinity();
      bool inside = false;
      for (const LinePath& path : plan.paths) {
        for (std::size_t i = 1; i < path.points.size(); ++i) {
          const double d = distance_to(p, path.points[i - 1], path.points[i]);
          nearest = std::min(nearest, d);
          inside = inside || d <= std::max({0.5, path.width_mm[i - 1] / 2, path.width_mm[i] / 2});
        }
      }
      drawn_length += step;
      result.found += nearest <= 0.5 ? step : 0;
      result.covered += inside ? step : 0;
      result.most_jump_mm = std::max(result.most_jump_mm, nearest);
    });
  }
  for (const LinePath& path : plan.paths) {
    along(path.points, [&](const PointMm& p, std::size_t i, double share, double step) {
      double nearest = std::numeric_limits<double>::infinity(), width = 0;
      for (const TrueStroke& stroke : strokes) {
        if (const double d = distance_to(p, stroke.points); d < nearest) {
          nearest = d;
          width = stroke.width_mm;
        }
      }
      planned += step;
      result.astray += nearest > 1 ? step : 0;
      const double planned_width = path.width_mm[i - 1] + share * (path.width_mm[i] - path.width_mm[i - 1]);
      const double error = std::abs(planned_width - width);
      result.mean_width_error += step * (planned_width - width);
      result.right_width += error <= std::max(0.15, 0.2 * width) ? step : 0;
    });
  }
  if (drawn_length > 0) {
    result.found /= drawn_length;
    result.covered /= drawn_length;
  }
  if (planned > 0) {
    result.astray /= planned;
    result.right_width /= planned;
    result.mean_width_error /= planned;
  }
  return result;
}

}  // namespace powderplan
