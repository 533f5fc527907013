#include "layers/split_for_bridges.h"

#include <opencv2/imgproc.hpp>
#include <utility>

#include "layers/bridge_ground.h"
#include "layers/mask_view.h"
#include "separation/width_rule.h"

namespace powderplan {
namespace {

// All discs of the rule's diameter that lie in the mask and on at least one of the points. As in the rule,
// all is open beyond the piece's edge.
cv::Mat discs_on(const cv::Mat& points, const cv::Mat& mask, int diameter) {
  const cv::Mat kernel = disc_kernel(diameter);
  const cv::Point anchor(diameter / 2, diameter / 2);
  const auto framed = [&](const cv::Mat& inner, int beyond) {
    cv::Mat wide;
    cv::copyMakeBorder(inner, wide, diameter, diameter, diameter, diameter, cv::BORDER_CONSTANT,
                       cv::Scalar(beyond));
    return wide;
  };
  cv::Mat places, touching, discs;
  cv::erode(framed(mask, 1), places, kernel, anchor);
  cv::dilate(framed(points, 0), touching, kernel, anchor);
  // A disc is drawn round its place with the kernel turned about.
  cv::dilate(places & touching, discs, kernel, {diameter - 1 - anchor.x, diameter - 1 - anchor.y});
  return discs(cv::Rect(diameter, diameter, mask.cols, mask.rows)) & mask;
}

double error_of(const cv::Mat& mask, const cv::Mat& open, const cv::Mat& cost, const Grid& grid) {
  return cv::sum(cv::Mat(cost.clone().setTo(0, mask == 0).setTo(0, open != 0)))[0] * grid.point_cm2();
}

}  // namespace

SplitMask split_for_bridges(const Image<std::uint8_t>& mask, const BridgedMask& bridges,
                            const Image<float>& cost_of_closing, const Grid& grid,
                            const StencilRules& rules) {
  SplitMask best{bridges, {Image<std::uint8_t>(mask.width(), mask.height(), 0), {}, 0}, bridges.error_cm2};
  if (mask.empty())
    return best;
  const WidthRule rule(rules.smallest, grid.pitch);
  const cv::Mat wanted = view_of(mask), open = view_of(bridges.open), cost = view_of(cost_of_closing);
  const auto one_piece = [&](const cv::Mat& parts) {
    return bridged(image_of(parts), cost_of_closing, grid, rules);
  };
  const cv::Mat reachable = rule.opened(wanted);
  cv::Mat second = rule.opened(reachable - open);
  // Each round takes in more of the openings beside the bridges, where points are still left out.
  constexpr int rounds = 4;
  for (int round = 0; round < rounds; ++round) {
    BridgedMask second_open = one_piece(second);
    BridgedMask first_open = one_piece(open - view_of(second_open.open));
    const cv::Mat both = view_of(first_open.open) | view_of(second_open.open);
    const double error = error_of(wanted, both, cost, grid);
    if (error < best.error_cm2)
      best = {std::move(first_open), std::move(second_open), error};
    const cv::Mat left_out = reachable - both;
    if (cv::countNonZero(left_out) == 0)
      break;
    second = second | discs_on(left_out, reachable, rule.diameter());
  }
  if (best.error_cm2 < bridges.error_cm2) {
    best.first.bridges.insert(best.first.bridges.begin(), bridges.bridges.begin(), bridges.bridges.end());
    best.first.error_cm2 = best.error_cm2;
    best.second.error_cm2 = 0;
    for (Bridge& bridge : best.second.bridges)
      bridge.error_cm2 = 0;
    const cv::Mat both = view_of(best.first.open) | view_of(best.second.open);
    charge_to_nearest(best.first.bridges, mask, image_of(both), cost_of_closing, grid);
  }
  return best;
}

}  // namespace powderplan
