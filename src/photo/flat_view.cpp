#include "photo/flat_view.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace powderplan {

// Two rows for each point: (a x + b y + c) - u (g x + h y) = u, and so for v; the last element is 1.
FlatView::FlatView(const std::array<PointMm, 4>& card, const std::array<PhotoPoint, 4>& photo) : matrix_{} {
  Eigen::Matrix<double, 8, 8> rows = Eigen::Matrix<double, 8, 8>::Zero();
  Eigen::Matrix<double, 8, 1> wanted;
  for (int i = 0; i < 4; ++i) {
    const auto [x, y] = card[static_cast<std::size_t>(i)];
    const auto [u, v] = photo[static_cast<std::size_t>(i)];
    rows.row(2 * i) << x, y, 1, 0, 0, 0, -u * x, -u * y;
    rows.row(2 * i + 1) << 0, 0, 0, x, y, 1, -v * x, -v * y;
    wanted(2 * i) = u;
    wanted(2 * i + 1) = v;
  }
  const Eigen::Matrix<double, 8, 1> solved = rows.fullPivLu().solve(wanted);
  std::copy_n(solved.data(), 8, matrix_.begin());
  matrix_[8] = 1;
}

FlatView::FlatView(PhotoPoint centre, const Slope& s)
    : matrix_{s[0][0], s[0][1], centre.x, s[1][0], s[1][1], centre.y, 0, 0, 1} {}

PhotoPoint FlatView::at(PointMm p) const {
  const auto& m = matrix_;
  const double w = m[6] * p.x + m[7] * p.y + m[8];
  return {(m[0] * p.x + m[1] * p.y + m[2]) / w, (m[3] * p.x + m[4] * p.y + m[5]) / w};
}

Slope FlatView::slope_at(PointMm p) const {
  const auto& m = matrix_;
  const double w = m[6] * p.x + m[7] * p.y + m[8];
  const PhotoPoint at_p = at(p);
  return {{{(m[0] - at_p.x * m[6]) / w, (m[1] - at_p.x * m[7]) / w},
           {(m[3] - at_p.y * m[6]) / w, (m[4] - at_p.y * m[7]) / w}}};
}

std::array<double, 2> pixels_per_mm(const Slope& s) {
  // Singular values of a 2 by 2 matrix from its trace and determinant.
  const double squares = s[0][0] * s[0][0] + s[0][1] * s[0][1] + s[1][0] * s[1][0] + s[1][1] * s[1][1];
  const double det = s[0][0] * s[1][1] - s[0][1] * s[1][0];
  const double gap = std::sqrt(std::max(0.0, squares * squares - 4 * det * det));
  return {std::sqrt((squares + gap) / 2), std::sqrt(std::max(0.0, (squares - gap) / 2))};
}

double degrees_off_square(const Slope& slope) {
  const auto [longer, shorter] = pixels_per_mm(slope);
  return std::acos(std::clamp(shorter / longer, 0.0, 1.0)) * 180 / std::numbers::pi;
}

}  // namespace powderplan
