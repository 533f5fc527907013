#include "separation/width_rule.h"

#include <cmath>

#include "separation/disc_opening.h"
#include "separation/disc_sweep.h"

namespace powderplan {

WidthRule::WidthRule(Millimetres smallest, Millimetres pitch)
    : diameter_(std::max(1, static_cast<int>(std::ceil(smallest / pitch - 1e-6)))) {
  const cv::Mat kernel = points_of_disc(diameter_);
  for (int y = 0; y < diameter_; ++y) {
    for (int x = 0; x < diameter_; ++x) {
      if (kernel.at<std::uint8_t>(y, x) != 0)
        disc_.emplace_back(x - diameter_ / 2, y - diameter_ / 2);
    }
  }
}

BitMask WidthRule::opened(const BitMask& mask) const {
  return opened_by_disc(mask, diameter_);
}

BitMask WidthRule::closed(const BitMask& mask) const {
  return opened(mask.inverted()).inverted();
}

BitMask WidthRule::narrow_openings(const BitMask& mask) const {
  BitMask narrow = mask;
  return narrow.remove(opened(mask));
}

BitMask WidthRule::narrow_webs(const BitMask& mask) const {
  return narrow_openings(mask.inverted());
}

bool WidthRule::obeyed_by(const BitMask& mask) const {
  return opened(mask) == mask && closed(mask) == mask;
}

BitMask WidthRule::shrunk_to_rule(BitMask mask) const {
  for (;;) {
    mask = opened(mask);
    const BitMask webs = narrow_webs(mask);
    if (!webs.any())
      return mask;
    // Each narrow point grows by a disc that lies on it; that takes something away, or the point were not
    // narrow.
    mask.remove(discs_touching(webs, diameter_));
  }
}

}  // namespace powderplan
