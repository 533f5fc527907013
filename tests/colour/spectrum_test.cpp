#include "colour/spectrum.h"

#include <gtest/gtest.h>

namespace powderplan {
namespace {

TEST(Spectrum, RunsFrom400To700By10) {
  EXPECT_EQ(band_nm(0), 400);
  EXPECT_EQ(band_nm(1), 410);
  EXPECT_EQ(band_nm(band_count - 1), 700);
}

TEST(Spectrum, StartsAtZero) {
  EXPECT_EQ(Spectrum(), Spectrum::constant(0));
}

TEST(Spectrum, AddsAndScalesBandByBand) {
  Spectrum ramp;
  for (std::size_t i = 0; i < band_count; ++i)
    ramp[i] = static_cast<double>(i);
  const Spectrum sum = ramp * 2 + Spectrum::constant(1);
  for (std::size_t i = 0; i < band_count; ++i)
    EXPECT_EQ(sum[i], 2.0 * static_cast<double>(i) + 1);
  EXPECT_NE(sum, ramp);
}

TEST(Spectrum, PerBandTakesAnyNumberOfSpectra) {
  const Spectrum one = Spectrum::constant(1), two = Spectrum::constant(2), three = Spectrum::constant(3);
  EXPECT_EQ(per_band([](double a) { return -a; }, two), Spectrum::constant(-2));
  EXPECT_EQ(per_band([](double a, double b, double c) { return a * 100 + b * 10 + c; }, one, two, three),
            Spectrum::constant(123));
}

}  // namespace
}  // namespace powderplan
