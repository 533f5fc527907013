#include "firing/schedule.h"

#include "property.h"

namespace powderplan {
namespace {

GlassConstants any_glass() {
  GlassConstants glass;
  glass.annealing = Celsius(any_between(430, 580));
  glass.strain = glass.annealing - Celsius(any_between(20, 45));
  glass.softening = glass.annealing + Celsius(any_between(120, 220));
  glass.expansion_per_k = any_between(3e-6, 11e-6);
  return glass;
}

Millimetres any_thickness() {
  return Millimetres(any_decade_between(1, 30));
}

// ASTM C338 and C336: log10 Pa.s of 6.6 at the softening point and 12 at the annealing point.
TEST(ViscosityCurve, GoesThroughItsFixedPoints) {
  holds_always([] {
    const GlassConstants glass = any_glass();
    const ViscosityCurve curve(glass);
    RC_ASSERT(std::abs(curve.log10_pa_s(glass.softening) - 6.6) < 1e-9);
    RC_ASSERT(std::abs(curve.log10_pa_s(glass.annealing) - 12) < 1e-9);
  });
}

TEST(ViscosityCurve, TurnsRound) {
  holds_always([] {
    const ViscosityCurve curve(any_glass());
    const double log_eta = any_between(2, 13);
    RC_ASSERT(std::abs(curve.log10_pa_s(curve.temperature_at(log_eta)) - log_eta) < 1e-9);
    RC_ASSERT(curve.temperature_at(log_eta) > curve.temperature_at(log_eta + 0.1));
  });
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
  });
}

TEST(StartingSchedule, IsInOrder) {
  holds_always([] {
    const GlassConstants glass = any_glass();
    const Millimetres thickness = any_thickness();
    for (const Finish finish : {Finish::tack, Finish::contour, Finish::full}) {
      const std::vector<Segment> legs = starting_schedule(glass, thickness, finish);
      RC_ASSERT(legs.size() == 5u);
      for (const Segment& leg : legs) {
        RC_ASSERT(leg.rate_c_per_h > 0);
        RC_ASSERT(leg.hold_min >= 0);
      }
      const Celsius top = legs[1].to;
      RC_ASSERT(top > legs[2].to);
      RC_ASSERT(top >= legs[0].to);
      RC_ASSERT(std::abs(legs[2].to.value() - glass.annealing.value()) <= 0.5);
      RC_ASSERT(legs[2].hold_min >= 30);
      RC_ASSERT(legs[3].to < glass.strain);
      RC_ASSERT(legs[4].to < legs[3].to);
    }
  });
}

TEST(StartingSchedule, IsHotterForAFlatterFinishAndSlowerForAThickerPiece) {
  holds_always([] {
    const GlassConstants glass = any_glass();
    const Millimetres thickness = any_thickness();
    const auto legs = [&](Millimetres t, Finish finish) { return starting_schedule(glass, t, finish); };
    RC_ASSERT(legs(thickness, Finish::tack)[1].to < legs(thickness, Finish::contour)[1].to);
    RC_ASSERT(legs(thickness, Finish::contour)[1].to < legs(thickness, Finish::full)[1].to);
    const auto thin = legs(thickness, Finish::full), thick = legs(thickness * 1.5, Finish::full);
    RC_ASSERT(thick[0].rate_c_per_h <= thin[0].rate_c_per_h);
    RC_ASSERT(thick[2].hold_min >= thin[2].hold_min);
    RC_ASSERT(thick[3].rate_c_per_h <= thin[3].rate_c_per_h);
  });
}

}  // namespace
}  // namespace powderplan
