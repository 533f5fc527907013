#include "fired/align_piece.h"

#include <cmath>
#include <opencv2/imgproc.hpp>
#include <opencv2/video/tracking.hpp>
#include <optional>
#include <utility>

namespace powderplan {
namespace {

constexpr int most_steps = 60;
constexpr double settled = 1e-5;
constexpr int blur_points = 5;
// Pictures that correlate less are not of the same thing.
constexpr double least_alike = 0.3;

cv::Mat lightness(const Image<Xyz>& picture) {
  cv::Mat out(picture.height(), picture.width(), CV_32F);
  for (std::size_t i = 0; i < picture.size(); ++i)
    out.ptr<float>()[i] = static_cast<float>(to_lab(picture[i]).l);
  return out;
}

// From places on the plan to places in the photo.
std::optional<cv::Mat> small_move(const SeenPiece& seen, const Image<Xyz>& planned) {
  const cv::Mat from = lightness(seen.colour), to = lightness(planned);
  cv::Mat trusted(from.size(), CV_8U);
  for (std::size_t i = 0; i < seen.untrusted.size(); ++i)
    trusted.data[i] = seen.untrusted[i] == 0 ? 1 : 0;
  cv::Mat map = cv::Mat::eye(2, 3, CV_32F);
  try {
    const double alike = cv::findTransformECC(
        to, from, map, cv::MOTION_AFFINE,
        {cv::TermCriteria::COUNT | cv::TermCriteria::EPS, most_steps, settled}, trusted, blur_points);
    if (!(alike >= least_alike))
      return std::nullopt;
  } catch (const cv::Exception&) {
    return std::nullopt;  // it found no way, or nothing to hold on to
  }
  cv::Mat_<double> moves;
  map.convertTo(moves, CV_64F);
  const double most = most_moved / seen.grid.pitch, right = from.cols, bottom = from.rows;
  for (const auto& [x, y] : {std::pair{0.0, 0.0}, {right, 0.0}, {0.0, bottom}, {right, bottom}}) {
    const double dx = moves(0, 0) * x + moves(0, 1) * y + moves(0, 2) - x;
    const double dy = moves(1, 0) * x + moves(1, 1) * y + moves(1, 2) - y;
    if (!(std::hypot(dx, dy) <= most))
      return std::nullopt;
  }
  return map;
}

}  // namespace

SeenPiece aligned(const SeenPiece& seen, const Image<Xyz>& planned) {
  const std::optional<cv::Mat> map = small_move(seen, planned);
  if (!map)
    return seen;
  const int width = seen.colour.width(), height = seen.colour.height();
  constexpr int how = cv::INTER_LINEAR | cv::WARP_INVERSE_MAP;
  cv::Mat colour(height, width, CV_64FC3), bad(height, width, CV_32F), moved, moved_bad;
  for (std::size_t i = 0; i < seen.colour.size(); ++i) {
    const Xyz& c = seen.colour[i];
    colour.ptr<cv::Vec3d>()[i] = {c.x, c.y, c.z};
    bad.ptr<float>()[i] = seen.untrusted[i] != 0 ? 1.0F : 0.0F;
  }
  cv::warpAffine(colour, moved, *map, colour.size(), how, cv::BORDER_REPLICATE);
  cv::warpAffine(bad, moved_bad, *map, bad.size(), how, cv::BORDER_CONSTANT, 1);
  SeenPiece out{seen.grid, Image<Xyz>(width, height), Image<std::uint8_t>(width, height), seen.under};
  // Less than this of a point from beside the photo is nothing.
  constexpr float least_bad = 0.05F;
  for (std::size_t i = 0; i < out.colour.size(); ++i) {
    const cv::Vec3d& c = moved.ptr<cv::Vec3d>()[i];
    out.colour[i] = {c[0], c[1], c[2]};
    out.untrusted[i] = moved_bad.ptr<float>()[i] > least_bad ? 1 : 0;
  }
  return out;
}

}  // namespace powderplan
