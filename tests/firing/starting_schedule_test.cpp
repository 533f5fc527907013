#include "firing/starting_schedule.h"

#include <algorithm>
#include <array>

#include "firing/any_glass.h"

namespace powderplan {
namespace {

constexpr std::array finishes{Finish::tack, Finish::contour, Finish::full};

TEST(StartingSchedule, IsInOrder) {
  holds_always([] {
    const GlassConstants glass = any_glass();
    const Millimetres thickness = any_thickness();
    for (const Finish finish : finishes) {
      const Schedule legs = starting_schedule(glass, thickness, finish, any_grain());
      RC_ASSERT(legs.size() == 5u || legs.size() == 6u);
      for (const Segment& leg : legs) {
        RC_ASSERT(leg.rate_c_per_h >= 1);
        RC_ASSERT(leg.rate_c_per_h <= 500);
        RC_ASSERT(leg.hold_min >= 0);
        RC_ASSERT(leg.rate_c_per_h == std::round(leg.rate_c_per_h));
        RC_ASSERT(leg.to.value() == std::round(leg.to.value()));
        RC_ASSERT(leg.hold_min == std::round(leg.hold_min));
      }
      const std::size_t top = legs.size() - 4;
      RC_ASSERT(std::is_sorted(legs.begin(), legs.begin() + static_cast<std::ptrdiff_t>(top) + 1,
                               [](const Segment& a, const Segment& b) { return a.to < b.to; }));
      RC_ASSERT(legs[top].to == top_of(legs));
      RC_ASSERT(legs[top].hold_min >= 5);
      RC_ASSERT(std::abs(legs[top + 1].to.value() - glass.annealing.value()) <= 0.5);
      RC_ASSERT(legs[top + 1].hold_min >= 30);
      RC_ASSERT(legs[top + 2].to < glass.strain);
      RC_ASSERT(legs[top + 3].to < legs[top + 2].to);
    }
  });
}

// What is printed gives what was asked for, ramps and rounding included.
TEST(StartingSchedule, HasTheHeatOfItsFinish) {
  holds_always([] {
    const GlassConstants glass = any_glass();
    const Millimetres thickness = any_thickness(), grain = any_grain();
    const HeatedFaces faces = *rc::gen::element(HeatedFaces::one, HeatedFaces::both);
    for (const Finish finish : finishes) {
      const Millimetres flow =
          flow_of(starting_schedule(glass, thickness, finish, grain, faces), ViscosityCurve(glass));
      RC_ASSERT(std::abs(flow / flow_for(finish, grain) - 1) < flow_rounding);
      RC_ASSERT(finish_reached(flow, grain) == finish);
    }
  });
}

TEST(StartingSchedule, IsHotterForAFlatterFinishAndSlowerForAThickerPiece) {
  holds_always([] {
    const GlassConstants glass = any_glass();
    const Millimetres thickness = any_thickness(), grain(any_decade_between(0.02, 0.4));
    const auto legs = [&](Millimetres t, Finish finish) {
      return starting_schedule(glass, t, finish, grain);
    };
    RC_ASSERT(top_of(legs(thickness, Finish::tack)) < top_of(legs(thickness, Finish::contour)));
    RC_ASSERT(top_of(legs(thickness, Finish::contour)) < top_of(legs(thickness, Finish::full)));
    const auto thin = legs(thickness, Finish::full), thick = legs(thickness * 1.5, Finish::full);
    RC_ASSERT(thick[0].rate_c_per_h <= thin[0].rate_c_per_h);
    RC_ASSERT(thick[thick.size() - 3].hold_min >= thin[thin.size() - 3].hold_min);
    RC_ASSERT(thick[thick.size() - 2].rate_c_per_h <= thin[thin.size() - 2].rate_c_per_h);
  });
}

// No rate where stress counts is above what the stress allows; both faces heated, four times as fast.
TEST(StartingSchedule, KeepsWithinItsStress) {
  holds_always([] {
    const GlassConstants glass = any_glass();
    const Millimetres thickness = any_thickness();
    for (const HeatedFaces faces : {HeatedFaces::one, HeatedFaces::both}) {
      const Schedule legs = starting_schedule(glass, thickness, Finish::tack, Millimetres(0.1), faces);
      const auto face_mpa = [&](const Segment& leg) {
        return std::abs(plate_stress(leg.rate_c_per_h, thickness, glass.expansion_per_k, faces).face_mpa);
      };
      RC_ASSERT(face_mpa(legs.front()) <= heating_stress_mpa * (1 + 1e-9));
      RC_ASSERT(face_mpa(legs[legs.size() - 2]) <= cooling_stress_mpa * (1 + 1e-9));
    }
  });
}

// The hold for air leaves the powder open.
TEST(StartingSchedule, LetsAirOutBeforeThePoresClose) {
  for (const double thickness : {3.0, 6.0, 12.0, 25.0}) {
    for (const double grain : {0.05, 0.1, 0.3}) {
      const GlassConstants glass;
      Schedule legs = starting_schedule(glass, Millimetres(thickness), Finish::tack, Millimetres(grain));
      legs.resize(legs.size() - 4);  // up to the hold
      EXPECT_EQ(legs.back().hold_min, 20);
      const double fused = fired_values(flow_of(legs, ViscosityCurve(glass)), Millimetres(grain)).fused;
      EXPECT_GT(fused, 0.05);
      EXPECT_LT(fused, 0.25);
    }
  }
}

TEST(StartingSchedule, RefusesAGlassWhosePointsAreOutOfOrder) {
  GlassConstants glass;
  glass.softening = Celsius(500);
  EXPECT_ANY_THROW(starting_schedule(glass, Millimetres(3), Finish::full, Millimetres(0.1)));
}

}  // namespace
}  // namespace powderplan
