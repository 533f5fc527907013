// The balance by a printed chart.
#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <optional>

#include "colour/difference.h"
#include "photo/white_balance.h"
#include "problem.h"

namespace powderplan {
namespace {

// Of a patch, what is kept from its edges on each side.
constexpr double patch_border = 0.22;
constexpr std::size_t least_patches = 6;
constexpr double least_exponent = 0.7, most_exponent = 1.45;

struct Pair {
  Eigen::Vector3d seen, wanted;  // light as a share of paper's; linear sRGB
  Lab lab;
  double weight;
};

struct Fitted {
  Balance balance;
  double residual = 1e9;
};

Fitted fit_matrix(const std::vector<Pair>& pairs, double exponent) {
  Eigen::Matrix3d normal = Eigen::Matrix3d::Zero(), right = Eigen::Matrix3d::Zero();
  double seen_square = 0, product = 0;
  for (const Pair& p : pairs) {
    const Eigen::Vector3d toned = p.seen.array().max(0.0).pow(exponent);
    normal += p.weight * toned * toned.transpose();
    right += p.weight * p.wanted * toned.transpose();
    seen_square += p.weight * toned.squaredNorm();
    product += p.weight * toned.dot(p.wanted);
  }
  // Where the patches say nothing of a mixture of channels (a chart of greys), channels are only scaled.
  const double hold = 1e-4 * seen_square, scale = product / seen_square;
  normal += hold * Eigen::Matrix3d::Identity();
  right += hold * scale * Eigen::Matrix3d::Identity();
  const Eigen::Matrix3d matrix = normal.ldlt().solve(right.transpose()).transpose();
  Fitted fitted;
  fitted.balance.exponent = exponent;
  for (std::size_t i = 0; i < 3; ++i) {
    for (std::size_t j = 0; j < 3; ++j)
      fitted.balance.matrix[i][j] = matrix(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j));
  }
  double sum = 0;
  for (const Pair& p : pairs)
    sum += ciede2000(p.lab, to_lab(fitted.balance({p.seen(0), p.seen(1), p.seen(2)})));
  fitted.residual = sum / static_cast<double>(pairs.size());
  return fitted;
}

// Golden section on the exponent.
Fitted fit(const std::vector<Pair>& pairs) {
  constexpr double golden = 0.6180339887498949;
  double low = least_exponent, high = most_exponent;
  double a = high - golden * (high - low), b = low + golden * (high - low);
  Fitted at_a = fit_matrix(pairs, a), at_b = fit_matrix(pairs, b);
  while (high - low > 1e-3) {
    if (at_a.residual < at_b.residual) {
      high = b;
      b = a;
      at_b = at_a;
      a = high - golden * (high - low);
      at_a = fit_matrix(pairs, a);
    } else {
      low = a;
      a = b;
      at_a = at_b;
      b = low + golden * (high - low);
      at_b = fit_matrix(pairs, b);
    }
  }
  return at_a.residual < at_b.residual ? at_a : at_b;
}

using Seen = std::vector<BalancePiece>;

std::vector<Pair> pairs_of(const Seen& seen, const std::vector<Xyz>& patches) {
  std::vector<Pair> pairs;
  for (std::size_t i = 0; i < patches.size(); ++i) {
    if (!seen[i].good)
      continue;
    const LinearRgb& light = seen[i].light;
    const LinearRgb wanted = to_linear_rgb(patches[i]);
    // Lightness goes with the cube root: a step of light makes the more of it the darker the patch.
    const double weight = std::pow(std::max(patches[i].y, 0.0) + 0.01, -4.0 / 3.0);
    pairs.push_back(
        {{light.r, light.g, light.b}, {wanted.r, wanted.g, wanted.b}, to_lab(patches[i]), weight});
  }
  return pairs;
}

// The chart seen after a turn by 180 degrees.
bool fits_turned(const Seen& seen, const ChartReference& chart) {
  const std::vector<Xyz> turned(chart.patches.rbegin(), chart.patches.rend());
  return fit(pairs_of(seen, turned)).residual < most_chart_residual;
}

[[noreturn]] void refuse(const BalanceTask& task, std::string wrong, std::string remedy) {
  throw Problem(ProblemKind::input, task.file.string(), std::move(wrong), std::move(remedy));
}

}  // namespace

Balance balance_by(const ChartReference& chart, const BalanceTask& task) {
  const BoxMm& place = *task.card.reference;
  const double width = (place.right - place.left) / chart.columns;
  const double height = (place.bottom - place.top) / chart.rows;
  Seen seen;
  std::size_t good = 0;
  for (int row = 0; row < chart.rows; ++row) {
    for (int column = 0; column < chart.columns; ++column) {
      const double left = place.left + column * width, top = place.top + row * height;
      seen.push_back(task.read({left + patch_border * width, top + patch_border * height,
                                left + (1 - patch_border) * width, top + (1 - patch_border) * height}));
      good += seen.back().good ? 1 : 0;
    }
  }
  if (good < least_patches || 2 * good < seen.size())
    refuse(
        task,
        fmt::format("only {} of the chart's {} patches can be used; the others are clipped, black or outside "
                    "the photo",
                    good, seen.size()),
        "lay the chart so that it fills its place, without glare, or expose less");
  const Fitted fitted = fit(pairs_of(seen, chart.patches));
  if (!(fitted.residual < most_chart_residual)) {
    const std::string off = fmt::format(
        "the chart's patches are off by CIEDE2000 {:.1f} on average after the best fit", fitted.residual);
    if (fits_turned(seen, chart))
      refuse(task, off + ": it lies turned by 180 degrees", "turn the chart round and take the photo again");
    refuse(task, off,
           "see that the chart fills its place, lies the right way up without glare, and is the one whose "
           "values were "
           "given");
  }
  task.notes.push_back(
      fmt::format("the chart's {} patches fit with a mean CIEDE2000 of {:.2f}, the tone by a power of {:.3f}",
                  good, fitted.residual, fitted.balance.exponent));
  if (good < seen.size())
    task.notes.push_back(
        fmt::format("{} of the chart's patches are clipped or black and did not count", seen.size() - good));
  return fitted.balance;
}

}  // namespace powderplan
