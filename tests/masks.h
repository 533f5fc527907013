// Masks drawn and judged without the code under test.
#pragma once

#include <cmath>
#include <cstdint>
#include <opencv2/core.hpp>
#include <random>

#include "property.h"
#include "raster/bit_mask.h"
#include "raster/image.h"
#include "separation/separation.h"

namespace powderplan {

template <class Inside>
cv::Mat drawn_mask(int width, int height, Inside&& inside) {
  cv::Mat mask(height, width, CV_8U);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x)
      mask.at<std::uint8_t>(y, x) = inside(x, y) ? 1 : 0;
  }
  return mask;
}

// Where the layer `step` of powder `p` of a separation opens.
inline cv::Mat layer_mask(const std::vector<Tones>& labels, const Image<std::uint16_t>& label_at,
                          std::size_t p, std::size_t step) {
  return drawn_mask(label_at.width(), label_at.height(),
                    [&](int x, int y) { return labels[label_at.at(x, y)][p] >= step; });
}

// Every point of this value lies in a disc of the diameter (in points) that holds no other value: tried by
// laying a disc on every place of the piece. Beyond the edge of the piece anything goes.
inline bool made_of_discs(const cv::Mat& mask, std::uint8_t value, int diameter) {
  cv::Mat covered = cv::Mat::zeros(mask.size(), CV_8U);
  // Centres anywhere on the piece, its edge included: on the middles of points for odd diameters, on their
  // corners for even ones.
  const double first = diameter % 2 == 1 ? 0.0 : -0.5;
  for (int row = 0; row + first < mask.rows; ++row) {
    for (int column = 0; column + first < mask.cols; ++column) {
      const double cy = row + first, cx = column + first;
      const auto for_each = [&](auto&& visit) {
        for (int y = static_cast<int>(cy) - diameter; y <= static_cast<int>(cy) + diameter; ++y) {
          for (int x = static_cast<int>(cx) - diameter; x <= static_cast<int>(cx) + diameter; ++x) {
            if (x >= 0 && y >= 0 && x < mask.cols && y < mask.rows &&
                4 * ((x - cx) * (x - cx) + (y - cy) * (y - cy)) <= diameter * diameter)
              visit(y, x);
          }
        }
      };
      bool fits = true;
      for_each([&](int y, int x) { fits = fits && mask.at<std::uint8_t>(y, x) == value; });
      if (fits)
        for_each([&](int y, int x) { covered.at<std::uint8_t>(y, x) = 1; });
    }
  }
  for (int y = 0; y < mask.rows; ++y) {
    for (int x = 0; x < mask.cols; ++x) {
      if (mask.at<std::uint8_t>(y, x) == value && covered.at<std::uint8_t>(y, x) == 0)
        return false;
    }
  }
  return true;
}

inline bool wide_enough(const cv::Mat& mask, int diameter) {
  return made_of_discs(mask, 1, diameter) && made_of_discs(mask, 0, diameter);
}

// Whether every layer of a map is wide enough.
inline bool all_wide_enough(const Choice& choice, const std::vector<Tones>& labels,
                            const Image<std::uint16_t>& label_at, int diameter) {
  for (std::size_t p = 0; p < choice.size(); ++p) {
    for (std::size_t step = 1; step <= choice[p].steps.size(); ++step) {
      if (!wide_enough(layer_mask(labels, label_at, p, step), diameter))
        return false;
    }
  }
  return true;
}

// Random masks: single points, discs of random sizes, or stripes; of a random size up to `most`.
inline cv::Mat any_mask(int most) {
  const int width = *rc::gen::inRange(1, most + 1), height = *rc::gen::inRange(1, most + 1);
  const int kind = *rc::gen::inRange(0, 3);
  if (kind == 0) {
    const double share = any_between(0, 1);
    // One draw for all points: a draw for each would be slow and would not shrink well.
    std::mt19937 random(*rc::gen::inRange(0u, 1000000u));
    return drawn_mask(width, height,
                      [&](int, int) { return static_cast<double>(random()) < share * 4294967295.0; });
  }
  if (kind == 1) {
    const double angle = any_between(0, 3.2), period = any_between(1, 30), share = any_between(0, 1);
    return drawn_mask(width, height, [&](int x, int y) {
      const double along = (x * std::cos(angle) + y * std::sin(angle)) / period;
      return along - std::floor(along) < share;
    });
  }
  cv::Mat mask = cv::Mat::zeros(height, width, CV_8U);
  for (int i = *rc::gen::inRange(0, 12); i > 0; --i) {
    const double cx = any_between(0, width), cy = any_between(0, height), r = any_between(0.5, most / 3.0);
    const auto value = static_cast<std::uint8_t>(*rc::gen::inRange(0, 3) > 0);
    for (int y = 0; y < height; ++y) {
      for (int x = 0; x < width; ++x) {
        if (std::hypot(x - cx, y - cy) <= r)
          mask.at<std::uint8_t>(y, x) = value;
      }
    }
  }
  return mask;
}

// Points counted row by row.
inline bool is_in(const BitMask& mask, std::size_t point) {
  const auto width = static_cast<std::size_t>(mask.width());
  return mask.at(static_cast<int>(point % width), static_cast<int>(point / width));
}

inline bool same(const cv::Mat& a, const cv::Mat& b) {
  return a.size() == b.size() && (a.empty() || cv::countNonZero(a != b) == 0);
}

}  // namespace powderplan
