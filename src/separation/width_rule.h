// The smallest width that a technique can make: every opening and every web of a mask is at least so wide.
#pragma once

#include <opencv2/core/mat.hpp>
#include <vector>

#include "raster/image.h"

namespace powderplan {

// Masks are CV_8U, 0 or 1. A mask obeys the rule when both it and what it leaves are unions of discs of the
// rule's diameter (it equals its opening and its closing: Serra 1982). The piece's edge counts as
// open on both sides, because a stencil goes on beyond it.
class WidthRule {
 public:
  // The diameter is rounded up to whole grid points; below 2 points there is no rule.
  WidthRule(Millimetres smallest, Millimetres pitch);

  [[nodiscard]] int diameter() const { return diameter_; }
  // The parts of the mask that are wide enough.
  [[nodiscard]] cv::Mat opened(const cv::Mat& mask) const;
  // The mask with its narrow webs and gaps filled.
  [[nodiscard]] cv::Mat closed(const cv::Mat& mask) const;
  // Points that are too narrow: of the openings, and of the webs.
  [[nodiscard]] cv::Mat narrow_openings(const cv::Mat& mask) const;
  [[nodiscard]] cv::Mat narrow_webs(const cv::Mat& mask) const;
  [[nodiscard]] bool obeyed_by(const cv::Mat& mask) const;

  // The largest part of the mask found that obeys the rule, by taking away only: narrow openings go, narrow
  // webs grow. Ends always, if need be with an empty mask.
  [[nodiscard]] cv::Mat shrunk_to_rule(cv::Mat mask) const;

  // Offsets of the disc's points, from its anchor.
  [[nodiscard]] const std::vector<cv::Point>& disc() const { return disc_; }

 private:
  int diameter_;
  cv::Mat kernel_, mirrored_;
  cv::Point anchor_, mirrored_anchor_;
  std::vector<cv::Point> disc_;
};

}  // namespace powderplan
