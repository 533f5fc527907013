// The rate of heating and cooling against heat conduction solved step by step. Constants of soda-lime glass:
// EN 572-1 (from memory; each number also seen in pages that quote the standard). The parabola and its
// stress: Adams and Williamson 1920, J. Franklin Inst. 190, 597 (formula from memory).
#include <gtest/gtest.h>

#include <cmath>
#include <numeric>
#include <vector>

#include "firing/schedule.h"

namespace powderplan {
namespace {

constexpr double young_mpa = 70e3, poisson = 0.2, expansion = 9e-6;
constexpr double diffusivity = 1.0 / (2500.0 * 720.0);  // m2/s

struct Profile {
  double difference = 0;   // between the faces, K
  double surface_mpa = 0;  // at the face that is heated
  double other_mpa = 0;    // at the face that is not
};

// A plate whose one face follows the kiln at `k_per_h` while no heat leaves the other, by explicit finite
// differences until the profile stands. Stress of a free flat plate: each layer would have its own length but
// must share the mean one.
Profile heated_through_one_face(double thickness_mm, double k_per_h) {
  constexpr int cells = 60;
  const double dx = thickness_mm / 1000 / cells, dt = 0.4 * dx * dx / diffusivity, rate = k_per_h / 3600;
  const double settled_s = 6 * std::pow(thickness_mm / 1000, 2) / diffusivity;
  std::vector<double> t(cells + 1, 0.0), next = t;
  double face = 0;
  for (double time = 0; time < settled_s; time += dt) {
    face += rate * dt;
    for (std::size_t i = 1; i < cells; ++i)
      next[i] = t[i] + 0.4 * (t[i - 1] - 2 * t[i] + t[i + 1]);
    next[cells] = t[cells] + 0.8 * (t[cells - 1] - t[cells]);
    next[0] = face;
    t.swap(next);
  }
  const double mean = (std::accumulate(t.begin(), t.end(), 0.0) - (t.front() + t.back()) / 2) / cells;
  const double per_k = young_mpa * expansion / (1 - poisson);
  return {t.front() - t.back(), per_k * (t.front() - mean), per_k * (t.back() - mean)};
}

TEST(PlateConduction, RateGivesTheStressItWasAskedFor) {
  for (const double thickness : {3.0, 6.0, 12.0}) {
    for (const double stress : {0.35, 1.1, 3.0}) {
      const double rate = rate_for_stress(Millimetres(thickness), expansion, stress);
      const Profile plate = heated_through_one_face(thickness, rate);
      EXPECT_NEAR(plate.surface_mpa, stress, 0.005 * stress) << thickness << ' ' << stress;
      EXPECT_NEAR(plate.other_mpa, -stress / 2, 0.005 * stress) << "one third inside, two thirds outside";
    }
  }
}

// 6 mm at 1 K a minute through one face: 0.54 K between the faces; both faces cooled, a quarter of that, with
// 70.9 kPa at the surface (computed from the formula; the numbers agree with those of the finite
// differences).
TEST(PlateConduction, SixMillimetresAtOneKelvinAMinute) {
  EXPECT_NEAR(heated_through_one_face(6, 60).difference, 0.54, 0.003);
  // Through both faces a plate of 6 mm is two of 3 mm back to back.
  const Profile both = heated_through_one_face(3, 60);
  EXPECT_NEAR(both.difference, 0.135, 0.001);
  EXPECT_NEAR(both.surface_mpa, 0.0709, 0.0004);
  EXPECT_NEAR(rate_for_stress(Millimetres(3), expansion, 0.0709), 60, 0.1);
  EXPECT_NEAR(rate_for_stress(Millimetres(6), expansion, 4 * 0.0709), 60, 0.1);
}

// Common practice, no source: 3 mm sheet is heated as fast as a kiln goes, 6 mm comes slower, and a 12 mm
// piece is annealed for hours.
TEST(StudioPractice, ThickPiecesTakeTheirTime) {
  const GlassConstants glass;
  const auto legs = [&](double thickness) {
    return starting_schedule(glass, Millimetres(thickness), Finish::full);
  };
  EXPECT_GE(legs(3)[0].rate_c_per_h, 200);
  EXPECT_LE(legs(12)[0].rate_c_per_h, 100);
  EXPECT_GE(legs(3)[2].hold_min, 30);
  EXPECT_GT(legs(12)[2].hold_min, legs(3)[2].hold_min);
}

// Common practice, no source: tack fuse about 700 to 760 degrees, contour about 760 to 790, full fuse about
// 790 to 820, for art glass with the points of this program's default.
TEST(StudioPractice, FinishTemperatures) {
  const GlassConstants glass;
  const auto top = [&](Finish finish) {
    return starting_schedule(glass, Millimetres(3), finish)[1].to.value();
  };
  EXPECT_NEAR(top(Finish::tack), 730, 35);
  EXPECT_NEAR(top(Finish::contour), 770, 30);
  EXPECT_NEAR(top(Finish::full), 805, 30);
}

}  // namespace
}  // namespace powderplan
