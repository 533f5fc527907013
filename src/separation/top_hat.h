// What is narrower than a disc in a picture of one number: lower strokes and higher strokes.
#pragma once

#include <opencv2/core/mat.hpp>

#include "separation/disc_sweep.h"
#include "units.h"

namespace powderplan {

// Grey closing and opening (Serra 1982) by the points of a disc of a diameter, rounded up to whole points.
// Images are CV_32F. Beyond the edge of the piece anything goes, as in WidthRule.
class GreyDisc {
 public:
  GreyDisc(Millimetres diameter, Millimetres pitch);
  [[nodiscard]] cv::Mat closed(const cv::Mat& values) const;
  [[nodiscard]] cv::Mat opened(const cv::Mat& values) const;
  // Where a closing (low) or an opening changes a value by at least so much: CV_8U, 255 or 0.
  [[nodiscard]] cv::Mat stands_out(const cv::Mat& values, bool low, double contrast) const;
  [[nodiscard]] int diameter() const { return diameter_; }

 private:
  int diameter_;
  DiscRows rows_, mirrored_;
};

// How far the strokes lie below and above their ground; 0 where there is none.
struct TopHats {
  cv::Mat low, high;
  cv::Mat any;  // the larger of what a closing and an opening change, whatever it may be
};

// Between strokes that lie close together the gaps are as narrow as the strokes. What is a stroke whether the
// low or the high ones are taken away first is certain (their closing and opening in turn agree: alternate
// filters, Serra 1988); of what is not certain, only those of the kind of which more is certain round about
// are kept.
TopHats strokes_of(const cv::Mat& values, const GreyDisc& disc, double faint, Millimetres pitch);

}  // namespace powderplan
