#include "firing/plate_stress.h"

#include "firing/any_glass.h"

namespace powderplan {
namespace {

// By hand with the constants of EN 572-1: 100 K/h over 3600 s, times (6 mm)^2, over twice
// 1 / (2500 * 720) m2/s.
TEST(PlateDifference, OfAPlateThatIsHeatedThroughOneFaceAndThroughBoth) {
  EXPECT_NEAR(plate_difference_k(100, Millimetres(6), HeatedFaces::one), 0.9, 1e-12);
  EXPECT_NEAR(plate_difference_k(100, Millimetres(6), HeatedFaces::both), 0.225, 1e-12);
  EXPECT_NEAR(plate_difference_k(-200, Millimetres(12), HeatedFaces::one), -7.2, 1e-12);
}

// By hand as above: four times (6 mm)^2 over pi^2/4 of that diffusivity. One term of the series for a slab
// then has 1.8 % left.
TEST(MinutesToEvenOut, OfAPlateThatIsHeatedThroughOneFaceAndThroughBoth) {
  EXPECT_NEAR(minutes_to_even_out(Millimetres(6), HeatedFaces::one), 1.7508, 1e-4);
  EXPECT_NEAR(minutes_to_even_out(Millimetres(12), HeatedFaces::both), 1.7508, 1e-4);
}

TEST(RateForStress, FallsWithTheSquareOfTheThickness) {
  holds_always([] {
    const Millimetres thickness = any_thickness();
    const double expansion = any_between(3e-6, 11e-6), stress = any_between(0.1, 5);
    const double rate = rate_for_stress(thickness, expansion, stress);
    RC_ASSERT(rate > 0);
    RC_ASSERT(std::abs(rate_for_stress(thickness * 2, expansion, stress) / rate - 0.25) < 1e-12);
    RC_ASSERT(std::abs(rate_for_stress(thickness, expansion, stress * 3) / rate - 3) < 1e-12);
    RC_ASSERT(std::abs(rate_for_stress(thickness, expansion * 2, stress) / rate - 0.5) < 1e-12);
    RC_ASSERT(std::abs(rate_for_stress(thickness, expansion, stress, HeatedFaces::both) / rate - 4) < 1e-12);
  });
}

TEST(PlateStress, IsWhatTheRateWasAskedFor) {
  holds_always([] {
    const Millimetres thickness = any_thickness();
    const double stress = any_between(0.1, 5);
    for (const HeatedFaces faces : {HeatedFaces::one, HeatedFaces::both}) {
      const double rate = rate_for_stress(thickness, 9e-6, stress, faces);
      const PlateStress up = plate_stress(rate, thickness, 9e-6, faces);
      const PlateStress down = plate_stress(-rate, thickness, 9e-6, faces);
      RC_ASSERT(std::abs(up.face_mpa + stress) < 1e-9);
      RC_ASSERT(std::abs(up.inside_mpa - stress / 2) < 1e-9);
      RC_ASSERT(down.face_mpa == -up.face_mpa);
      RC_ASSERT(down.inside_mpa == -up.inside_mpa);
    }
  });
}

}  // namespace
}  // namespace powderplan
