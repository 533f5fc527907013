#include "measure/swatch_readings.h"

#include <gtest/gtest.h>

#include "colour/difference.h"
#include "measure/fit_powder.h"
#include "optics/finish.h"
#include "optics/swatch.h"
#include "problem.h"

namespace powderplan {
namespace {

std::string complaint(const std::vector<std::string>& swatches) {
  try {
    swatch_readings(swatches, "--swatch");
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::command_line);
    return problem.what();
  }
  return "none";
}

TEST(SwatchReadings, HaveTheGroundsThatWereNamed) {
  const Readings readings = swatch_readings(
      {"0.2,white,#a1b2c3", "0.4,white,#8192a3", "0.2,black,#203040", "0.2,#80808C,#60708a"}, "--swatch");
  ASSERT_EQ(readings.grounds.size(), 3u);
  EXPECT_EQ(readings.grounds[0].ground.backing, Spectrum::constant(white_ground));
  EXPECT_EQ(readings.grounds[1].ground.backing, Spectrum::constant(black_ground));
  EXPECT_EQ(readings.grounds[2].name, "#80808c");
  // Its bare colour is the one that was given.
  Rgb8 bare;
  ASSERT_TRUE(parse_hex("#80808c", bare));
  EXPECT_LT(ciede2000(to_lab(bare), lab_of(seen(readings.grounds[2].ground, {}))), 1e-3);
  ASSERT_EQ(readings.steps.size(), 4u);
  EXPECT_EQ(readings.steps[1].load, Load(0.4));
  EXPECT_EQ(readings.steps[1].ground, 0u);
  EXPECT_EQ(readings.steps[3].ground, 2u);
  ASSERT_TRUE(parse_hex("#203040", bare));
  EXPECT_LT(ciede2000(to_lab(bare), measured_lab(readings.steps[2])), 1e-9);
}

TEST(SwatchReadings, AreFittedToTheRoundingOfTheirCodes) {
  // What this powder looks like, as codes.
  Readings given = swatch_readings(
      {"0.1,white,#000000", "0.1,black,#000000", "0.4,white,#000000", "0.4,black,#000000"}, "--swatch");
  given.grain = Millimetres(0.1);
  given.flow = flow_for(Finish::full, given.grain);
  PowderOptics powder;
  powder.grain = given.grain;
  for (std::size_t b = 0; b < band_count; ++b) {
    powder.k[b] = 0.3 + 0.1 * static_cast<double>(b);
    powder.s[b] = 4;
  }
  for (StepReading& step : given.steps)
    step.seen = to_xyz(to_linear_rgb(to_rgb8(to_linear_rgb(to_xyz(lab_of(look_of(powder, given, step)))))));
  const PowderFit fit = fit_powder(given);
  EXPECT_LT(fit.mean_de00, 0.4);
  for (const double load : {0.05, 0.2, 0.7})
    EXPECT_LT(ciede2000(lab_of(look_of(powder, given, {Load(load), 0, Xyz{}})),
                        lab_of(look_of(fit.optics, given, {Load(load), 0, Xyz{}}))),
              1.0)
        << load;
}

TEST(SwatchReadings, SayWhatIsWrong) {
  const std::string good = "0.2,white,#a1b2c3", other = "0.2,black,#a1b2c3";
  EXPECT_EQ(
      complaint({good, other}),
      "--swatch: 2 of at least 3 colours; give more loads or grounds; two colours of one load go into the "
      "palette as over_white and over_black, without a fit");
  EXPECT_EQ(
      complaint({good, other, "0.2,white"}),
      "--swatch 0.2,white: 2 parts instead of three; write LOAD,GROUND,#rrggbb, for 0.2 g/cm2 over white: "
      "0.2,white,#a1b2c3");
  EXPECT_EQ(complaint({"much,white,#a1b2c3"}),
            "--swatch much,white,#a1b2c3: the load is \"much\"; write it in g/cm2, as 0.2");
  EXPECT_EQ(complaint({"0,white,#a1b2c3"}),
            "--swatch 0,white,#a1b2c3: the load is 0; it must be 0.001 to 5 g/cm2");
  EXPECT_EQ(complaint({"nan,white,#a1b2c3"}),
            "--swatch nan,white,#a1b2c3: the load is nan; it must be 0.001 to 5 g/cm2");
  EXPECT_EQ(
      complaint({"0.2,grey,#a1b2c3"}),
      "--swatch 0.2,grey,#a1b2c3: the ground is \"grey\"; write white, black, or its bare colour as #rrggbb");
  EXPECT_EQ(complaint({"0.2,white,blue"}),
            "--swatch 0.2,white,blue: the colour is \"blue\"; write it as #rrggbb");
  EXPECT_EQ(complaint({good, good}),
            "--swatch 0.2,white,#a1b2c3: this load over this ground was given before; give each once");
}

}  // namespace
}  // namespace powderplan
