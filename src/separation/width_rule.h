// The smallest width that a technique can make: every opening and every web of a mask is at least so wide.
#pragma once

#include <opencv2/core/mat.hpp>
#include <vector>

#include "raster/bit_mask.h"
#include "raster/image.h"

namespace powderplan {

// Masks are bit masks, or CV_8U with 0 or 1. A mask obeys the rule when both it and what it leaves are unions
// of discs of the rule's diameter (it equals its opening and its closing: Serra 1982). The piece's edge
// counts as open on both sides, because a stencil goes on beyond it.
class WidthRule {
 public:
  // The diameter is rounded up to whole grid points; below 2 points there is no rule.
  WidthRule(Millimetres smallest, Millimetres pitch);

  [[nodiscard]] int diameter() const { return diameter_; }
  // The parts of the mask that are wide enough.
  [[nodiscard]] BitMask opened(const BitMask& mask) const;
  [[nodiscard]] cv::Mat opened(const cv::Mat& mask) const { return opened(BitMask(mask)).bytes(); }
  // The mask with its narrow webs and gaps filled.
  [[nodiscard]] BitMask closed(const BitMask& mask) const;
  [[nodiscard]] cv::Mat closed(const cv::Mat& mask) const { return closed(BitMask(mask)).bytes(); }
  // Points that are too narrow: of the openings, and of the webs.
  [[nodiscard]] BitMask narrow_openings(const BitMask& mask) const;
  [[nodiscard]] cv::Mat narrow_openings(const cv::Mat& mask) const {
    return narrow_openings(BitMask(mask)).bytes();
  }
  [[nodiscard]] BitMask narrow_webs(const BitMask& mask) const;
  [[nodiscard]] cv::Mat narrow_webs(const cv::Mat& mask) const { return narrow_webs(BitMask(mask)).bytes(); }
  [[nodiscard]] bool obeyed_by(const BitMask& mask) const;
  [[nodiscard]] bool obeyed_by(const cv::Mat& mask) const { return obeyed_by(BitMask(mask)); }

  // The largest part of the mask found that obeys the rule, by taking away only: narrow openings go, narrow
  // webs grow. Ends always, if need be with an empty mask.
  [[nodiscard]] BitMask shrunk_to_rule(BitMask mask) const;
  [[nodiscard]] cv::Mat shrunk_to_rule(const cv::Mat& mask) const {
    return shrunk_to_rule(BitMask(mask)).bytes();
  }

  // Offsets of the disc's points, from its anchor.
  [[nodiscard]] const std::vector<cv::Point>& disc() const { return disc_; }

 private:
  int diameter_;
  std::vector<cv::Point> disc_;
};

}  // namespace powderplan
