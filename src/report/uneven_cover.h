// The unevenness that is left of sifted grains (report/sifted_grains.h) where they are too small to be drawn:
// what is left open follows from a number of grains that is drawn (Poisson) for each pixel.
#pragma once

#include <array>
#include <cstdint>
#include <span>

#include "report/sifted_grains.h"

namespace powderplan {

// The mean is that of lay_grains, and the variance that of the Boolean model over an area A of a pixel:
//   (1 - c)^2 / A * integral of (exp(density * overlap(h)) - 1) * share(h) dh,
// with overlap(h) of two shadows (soft edges and all) at distance h, and share(h) of the places in A, over
// all directions, that stay in A when moved by h. Slopes are the mean of as many grains as a pixel shows.
class UnevenCover {
 public:
  UnevenCover(const GrainKind& kind, Millimetres pixel);
  // `across` points of a row, and as many rows, make a pixel of the size above; the first is the first of
  // one.
  void lay(const PointRows& rows, int across, std::span<const float> covers,
           std::span<GrainPoint> points) const;

 private:
  struct Number {
    double mean = 0, taken = 0, all_open = 1;
  };
  [[nodiscard]] double variance(double over_a_point) const;
  [[nodiscard]] Number number_for(double covers) const;
  std::uint64_t seed_;
  double cold_shadow_, spread_, pixel_, slope_;
  std::array<double, 129> log_variance_{};  // per grain over a point, by grains over a point
};

}  // namespace powderplan
