// A mask as OpenCV sees it, and back.
#pragma once

#include <cstdint>
#include <opencv2/core/mat.hpp>

#include "raster/image.h"

namespace powderplan {

// The same points, not a copy: the image must live as long, and nothing may be written.
inline cv::Mat view_of(const Image<std::uint8_t>& mask) {
  return {mask.height(), mask.width(), CV_8U, const_cast<std::uint8_t*>(mask.data())};
}
inline cv::Mat view_of(const Image<float>& values) {
  return {values.height(), values.width(), CV_32F, const_cast<float*>(values.data())};
}

inline Image<std::uint8_t> image_of(const cv::Mat& mask) {
  Image<std::uint8_t> image(mask.cols, mask.rows);
  for (int y = 0; y < mask.rows; ++y)
    std::copy_n(mask.ptr<std::uint8_t>(y), mask.cols, image.row(y));
  return image;
}

}  // namespace powderplan
