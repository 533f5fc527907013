#include "fired/lab_planes.h"

namespace powderplan {

std::array<cv::Mat, 3> lab_planes(const Image<Xyz>& picture) {
  std::array<cv::Mat, 3> planes;
  for (cv::Mat& plane : planes)
    plane.create(picture.height(), picture.width(), CV_32F);
  for (std::size_t i = 0; i < picture.size(); ++i) {
    const Lab lab = to_lab(picture[i]);
    planes[0].ptr<float>()[i] = static_cast<float>(lab.l);
    planes[1].ptr<float>()[i] = static_cast<float>(lab.a);
    planes[2].ptr<float>()[i] = static_cast<float>(lab.b);
  }
  return planes;
}

}  // namespace powderplan
