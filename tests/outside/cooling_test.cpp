// The rate of heating and cooling against heat conduction solved step by step. Constants of soda-lime glass:
// EN 572-1 (from memory; each number also seen in pages that quote the standard). The parabola and its
// stress: Adams and Williamson 1920, J. Franklin Inst. 190, 597 (formula from memory).
#include <gtest/gtest.h>

#include <cmath>
#include <numeric>
#include <vector>

#include "firing/plate_stress.h"
#include "firing/starting_schedule.h"

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
  for (int step = 0; step * dt < settled_s; ++step) {
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

// Numbers from the formula, computed by others than this program (from memory of the formula): 12 mm through
// both faces, 1 K a minute: 0.54 K, 283.5 kPa at the faces, half of it inside.
TEST(PlateConduction, BothFacesAreAQuarterOfOne) {
  const PlateStress plate = plate_stress(-60, Millimetres(12), expansion, HeatedFaces::both);
  EXPECT_NEAR(plate_difference_k(-60, Millimetres(12), HeatedFaces::both), -0.54, 1e-9);
  EXPECT_NEAR(plate.face_mpa, 0.2835, 1e-6) << "cooling pulls at the faces";
  EXPECT_NEAR(plate.inside_mpa, -0.14175, 1e-6);
  const Profile half = heated_through_one_face(6, 60);
  EXPECT_NEAR(half.surface_mpa, plate.face_mpa, 0.005 * plate.face_mpa);
  EXPECT_NEAR(half.other_mpa, plate.inside_mpa, -0.005 * plate.inside_mpa);
  EXPECT_NEAR(plate_difference_k(60, Millimetres(6), HeatedFaces::one), 0.54, 1e-9);
  EXPECT_NEAR(plate_difference_k(60, Millimetres(6), HeatedFaces::both), 0.135, 1e-9);
}

// Both faces at the kiln's temperature, no symmetry assumed.
TEST(PlateConduction, BothFacesByFiniteDifferences) {
  constexpr int cells = 60;
  const double thickness_mm = 9, rate = 150.0 / 3600;
  const double dx = thickness_mm / 1000 / cells, dt = 0.4 * dx * dx / diffusivity;
  std::vector<double> t(cells + 1, 0.0), next = t;
  double face = 0;
  for (int step = 0; step * dt < 3 * std::pow(thickness_mm / 1000, 2) / diffusivity; ++step) {
    face += rate * dt;
    for (std::size_t i = 1; i < cells; ++i)
      next[i] = t[i] + 0.4 * (t[i - 1] - 2 * t[i] + t[i + 1]);
    next[0] = next[cells] = face;
    t.swap(next);
  }
  const double mean = (std::accumulate(t.begin(), t.end(), 0.0) - face) / cells;
  const double per_k = young_mpa * expansion / (1 - poisson);
  const PlateStress plate = plate_stress(150, Millimetres(thickness_mm), expansion, HeatedFaces::both);
  EXPECT_NEAR(plate_difference_k(150, Millimetres(thickness_mm), HeatedFaces::both), face - t[cells / 2],
              0.005 * (face - t[cells / 2]));
  EXPECT_NEAR(plate.face_mpa, -per_k * (face - mean), 0.005 * per_k * (face - mean));
  EXPECT_NEAR(plate.inside_mpa, -per_k * (t[cells / 2] - mean), 0.01 * plate.inside_mpa);
}

// A plate stopped after a long ramp: in the time that minutes_to_even_out gives, what is left of the
// difference is 2 % or less.
TEST(PlateConduction, EvensOutInTheStatedTime) {
  constexpr int cells = 60;
  const double thickness_mm = 12;
  const double dx = thickness_mm / 1000 / cells, dt = 0.4 * dx * dx / diffusivity;
  std::vector<double> t(cells + 1), next;
  for (std::size_t i = 0; i <= cells; ++i)
    t[i] = 1 - std::pow((cells - static_cast<double>(i)) / cells, 2);  // the steady parabola
  next = t;
  const double seconds = 60 * minutes_to_even_out(Millimetres(thickness_mm), HeatedFaces::one);
  for (int step = 0; step * dt < seconds; ++step) {
    for (std::size_t i = 1; i < cells; ++i)
      next[i] = t[i] + 0.4 * (t[i - 1] - 2 * t[i] + t[i + 1]);
    next[cells] = t[cells] + 0.8 * (t[cells - 1] - t[cells]);
    next[0] = 0;
    t.swap(next);
  }
  EXPECT_LT(t[cells], 0.025);
  EXPECT_GT(t[cells], 0.01) << "and no longer than that";
}

// EN 572-1 (from memory): E a / (1 - nu) = 0.7875 MPa/K. ASTM F144, scope: a difference of 300 parts in a
// million is where a sandwich seal is likely to break; computed, 26 MPa.
TEST(HeldStress, FiguresOfTheStandards) {
  EXPECT_NEAR(held_stress_mpa_per_k(expansion), 0.7875, 1e-9);
  EXPECT_NEAR(held_stress_mpa_per_k(300e-6), 26.3, 0.06);
}

// Common practice, no source: 3 mm sheet is heated as fast as a kiln goes, 6 mm comes slower, and a 12 mm
// piece is annealed for hours.
TEST(StudioPractice, ThickPiecesTakeTheirTime) {
  const GlassConstants glass;
  const auto legs = [&](double thickness) {
    return starting_schedule(glass, Millimetres(thickness), Finish::full, Millimetres(0.1));
  };
  const auto annealing_hold = [](const Schedule& schedule) { return schedule[schedule.size() - 3].hold_min; };
  EXPECT_GE(legs(3)[0].rate_c_per_h, 200);
  EXPECT_LE(legs(12)[0].rate_c_per_h, 100);
  EXPECT_GE(annealing_hold(legs(3)), 30);
  EXPECT_GT(annealing_hold(legs(12)), annealing_hold(legs(3)));
}

// Common practice, no source: fine powder is fired at about 660 to 710 degrees to hold, at 690 to 740 to a
// soft relief, and flat at 760 to 820; coarse frit tacks at 720 to 780. Art glass with the points of this
// program's default. What is computed is the glass's own temperature, and lies at the cool end of what
// studios key in, because glass lags behind a kiln's thermocouple.
TEST(StudioPractice, FinishTemperatures) {
  const GlassConstants glass;
  const auto top = [&](Finish finish, double grain) {
    return top_of(starting_schedule(glass, Millimetres(3), finish, Millimetres(grain))).value();
  };
  EXPECT_NEAR(top(Finish::tack, 0.1), 680, 30);
  EXPECT_NEAR(top(Finish::contour, 0.1), 710, 30);
  EXPECT_NEAR(top(Finish::full, 0.1), 790, 30);
  EXPECT_NEAR(top(Finish::tack, 2), 750, 30);
}

}  // namespace
}  // namespace powderplan
