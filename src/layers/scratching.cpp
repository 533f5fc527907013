#include "layers/scratching.h"

#include <opencv2/imgproc.hpp>

#include "separation/thinning.h"

namespace powderplan {

double scratched_share(const Image<Amount>& amount, const Image<std::uint8_t>& strokes, const Grid& grid,
                       Millimetres smallest) {
  Image<int> pieces(strokes.width(), strokes.height());
  for (std::size_t i = 0; i < strokes.size(); ++i)
    pieces[i] = strokes[i] != 0 ? 1 : 0;
  return scratched_shares(amount, pieces, 1, grid, smallest)[0];
}

std::vector<double> scratched_shares(const Image<Amount>& amount, const Image<int>& pieces, int count,
                                     const Grid& grid, Millimetres smallest) {
  std::vector<double> shares(static_cast<std::size_t>(count), 0);
  if (pieces.empty())
    return shares;
  const int width = pieces.width(), height = pieces.height();
  Image<std::uint8_t> strokes(width, height);
  cv::Mat inside(height, width, CV_8U), stroke(height, width, CV_8U), to_edge, depth;
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      const bool on = pieces.at(x, y) != 0;
      strokes.at(x, y) = stroke.at<std::uint8_t>(y, x) = on ? 1 : 0;
      inside.at<std::uint8_t>(y, x) = on || amount.at(x, y) >= even_amount * whole_amount ? 1 : 0;
    }
  }
  if (cv::countNonZero(inside) == width * height)
    to_edge = cv::Mat(height, width, CV_32F, cv::Scalar(1e9));
  else
    cv::distanceTransform(inside, to_edge, cv::DIST_L2, cv::DIST_MASK_PRECISE);
  if (cv::countNonZero(stroke) == width * height)
    return shares;  // all is stroke: there is no field
  cv::distanceTransform(stroke, depth, cv::DIST_L2, cv::DIST_MASK_PRECISE);
  const Image<std::uint8_t> middle = thinned(strokes);
  const double beside = smallest / grid.pitch;
  std::vector<std::size_t> length(shares.size(), 0), scratched(shares.size(), 0);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      if (middle.at(x, y) == 0)
        continue;
      const auto piece = static_cast<std::size_t>(pieces.at(x, y) - 1);
      ++length[piece];
      if (to_edge.at<float>(y, x) >= depth.at<float>(y, x) + beside)
        ++scratched[piece];
    }
  }
  for (std::size_t i = 0; i < shares.size(); ++i) {
    if (length[i] > 0)
      shares[i] = static_cast<double>(scratched[i]) / static_cast<double>(length[i]);
  }
  return shares;
}

}  // namespace powderplan
