#include "firing/schedule.h"

#include "firing/any_glass.h"

namespace powderplan {
namespace {

TEST(FlowOf, HoldAtOneTemperatureIsTimeOverViscosity) {
  holds_always([] {
    const ViscosityCurve curve(any_glass());
    const double log_eta = any_between(3, 12), minutes = any_between(1, 300);
    // A leg of rate 0 is there at once.
    const Schedule hold{{0, curve.temperature_at(log_eta), minutes}};
    const double expected = surface_tension * minutes * 60 / std::pow(10, log_eta) * 1000;
    RC_ASSERT(std::abs(flow_of(hold, curve) / Millimetres(expected) - 1) < 1e-9);
  });
}

// The integral of 10^-(A + B/(T - T0)) over a ramp by the midpoint rule with pieces ten times as fine.
TEST(FlowOf, RampsAgreeWithAFinerIntegration) {
  holds_always(
      [] {
        const ViscosityCurve curve(any_glass());
        const Segment leg{any_decade_between(5, 2000), Celsius(any_between(20, 900)), 0};
        const Celsius from(any_between(20, 900));
        const double span = leg.to.value() - from.value();
        const int pieces = 20 * static_cast<int>(std::ceil(std::abs(span))) + 1;
        double sum = 0;
        for (int i = 0; i < pieces; ++i) {
          const double log_eta = curve.log10_pa_s(from + Celsius(span * (i + 0.5) / pieces));
          sum += std::isfinite(log_eta) ? std::pow(10, -log_eta) : 0;
        }
        const double expected =
            1000 * surface_tension * sum / pieces * std::abs(span) / leg.rate_c_per_h * 3600;
        const double got = flow_of(leg, from, curve).value();
        // Less than a billionth of a millimetre is no heat at all.
        RC_ASSERT(std::abs(got - expected) < 2e-5 * expected + 1e-9);
      },
      100);
}

TEST(FlowOf, AddsUp) {
  holds_always([] {
    const ViscosityCurve curve(any_glass());
    Schedule whole;
    Millimetres sum;
    Celsius at = room_temperature;
    for (int i = 0; i < 5; ++i) {
      whole.push_back({any_between(10, 900), Celsius(any_between(20, 900)), any_between(0, 60)});
      sum += flow_of(whole.back(), at, curve);
      at = whole.back().to;
    }
    RC_ASSERT(std::abs(flow_of(whole, curve) / sum - 1) < 1e-12);
    // There and back at a rate costs the same.
    const Segment up{200, Celsius(700), 0}, down{200, Celsius(500), 0};
    RC_ASSERT(std::abs(flow_of(up, Celsius(500), curve) / flow_of(down, Celsius(700), curve) - 1) < 1e-9);
  });
  EXPECT_EQ(flow_of(Schedule{}, ViscosityCurve(GlassConstants{})), Millimetres(0));
}

// Design note of this program: 30 degrees more near the softening point are about four times the heat.
TEST(FlowOf, ThirtyDegreesAreAboutAFactorOfFour) {
  const ViscosityCurve curve{GlassConstants{}};
  const auto hold_at = [&](double t) { return flow_of(Schedule{{0, Celsius(t), 10}}, curve); };
  EXPECT_NEAR(hold_at(700) / hold_at(670), 4, 0.5);
}

TEST(HoursOf, CountsRampsAndHolds) {
  EXPECT_EQ(hours_of(Schedule{}), 0);
  EXPECT_NEAR(hours_of({{100, Celsius(220), 30}, {0, Celsius(900), 6}, {-300, Celsius(300), 0}}),
              2 + 0.5 + 0 + 0.1 + 2, 1e-12);
}

TEST(TopOf, IsTheHottest) {
  EXPECT_EQ(top_of(Schedule{}), room_temperature);
  EXPECT_EQ(top_of({{100, Celsius(220), 30}, {0, Celsius(900), 6}, {300, Celsius(300), 0}}), Celsius(900));
}

}  // namespace
}  // namespace powderplan
