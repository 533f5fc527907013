#include "firing/viscosity.h"

#include "firing/any_glass.h"
#include "problem.h"

namespace powderplan {
namespace {

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

TEST(ViscosityCurve, FluidityIsOneOverViscosityAndNoneWhereGlassStandsStill) {
  const ViscosityCurve curve{GlassConstants{}};
  for (const double t : {300.0, 480.0, 515.0, 680.0, 800.0}) {
    const double expected = std::pow(10, -curve.log10_pa_s(Celsius(t)));
    EXPECT_NEAR(curve.fluidity(Celsius(t)), expected, 1e-12 * expected) << t;
  }
  EXPECT_EQ(curve.fluidity(Celsius(20)), 0);
  EXPECT_EQ(curve.fluidity(Celsius(-300)), 0);
  EXPECT_TRUE(std::isinf(curve.log10_pa_s(Celsius(20))));
}

std::string refusal(double strain, double annealing, double softening) {
  GlassConstants glass;
  glass.strain = Celsius(strain);
  glass.annealing = Celsius(annealing);
  glass.softening = Celsius(softening);
  try {
    const ViscosityCurve curve(glass);
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    return problem.wrong();
  }
  return "";
}

TEST(ViscosityCurve, RefusesPointsOutOfOrderAndNamesThePair) {
  EXPECT_EQ(refusal(480, 515, 680), "");
  EXPECT_EQ(refusal(480, 680, 515),
            "the softening point, 515 \u00b0C, is not above the annealing point, 680 \u00b0C");
  EXPECT_EQ(refusal(480, 515, 515),
            "the softening point, 515 \u00b0C, is not above the annealing point, 515 \u00b0C");
  EXPECT_EQ(refusal(520, 515, 680),
            "the annealing point, 515 \u00b0C, is not above the strain point, 520 \u00b0C");
  EXPECT_EQ(refusal(10, 515, 680), "the strain point, 10 \u00b0C, is not above room temperature, 20 \u00b0C");
  EXPECT_EQ(refusal(480, std::nan(""), 680), "the annealing point is no number");
}

}  // namespace
}  // namespace powderplan
