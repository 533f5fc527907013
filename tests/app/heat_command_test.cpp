#include <gtest/gtest.h>

#include "app/workbench.h"

namespace powderplan::testing {
namespace {

constexpr const char* tack = R"([[segment]]
rate_c_per_h = 300
to_c = 615
hold_min = 20
[[segment]]
rate_c_per_h = 300
to_c = 660
hold_min = 11
[[segment]]
rate_c_per_h = 500
to_c = 515
hold_min = 40
[[segment]]
rate_c_per_h = 100
to_c = 50
)";

TEST(HeatCommand, SaysWhatASchedulesHeatMakesOfGrains) {
  const Workbench bench;
  bench.write("tack.toml", tack);
  const Ended ended = bench.run({"heat", "tack.toml", "--grain", "0.3", "--grain", "0.1"});
  EXPECT_EQ(ended.err, "");
  ASSERT_EQ(ended.code, 0);
  for (const char* words : {"Flow 0.0318 mm", "8 h 15 min in all, up to 660", "in leg 1", "in leg 4",
                            "the kiln's manual and a test piece come first"})
    EXPECT_NE(ended.out.find(words), std::string::npos) << words << " in:\n" << ended.out;
  EXPECT_EQ(ended.out.find("Warning"), std::string::npos);
  const std::size_t fine = ended.out.find("0.100"), coarse = ended.out.find("0.300");
  ASSERT_LT(fine, coarse) << "from fine to coarse";
  EXPECT_LT(ended.out.find("  tack\n", fine), coarse);
  EXPECT_NE(ended.out.find("below tack\n", coarse), std::string::npos);
}

TEST(HeatCommand, LegsOnTheCommandLineAreTheSameAsAFile) {
  const Workbench bench;
  bench.write("tack.toml", tack);
  const Ended by_flags = bench.run({"heat", "--segment", "300,615,20", "--segment", "300,660,11", "--segment",
                                    "500,515,40", "--segment", "100,50,0"});
  EXPECT_EQ(by_flags.out, bench.run({"heat", "tack.toml"}).out);
  EXPECT_NE(by_flags.out.find("mesh 325"), std::string::npos) << "ASTM E11 sieves when there is no shelf";
}

TEST(HeatCommand, TakesGlassAndGrainsFromAPalette) {
  const Workbench bench;
  bench.write("tack.toml", tack);
  const Ended ended = bench.run({"heat", "tack.toml", "--palette", "shelf.toml"});
  ASSERT_EQ(ended.code, 0) << ended.err;
  EXPECT_EQ(ended.out.find("mesh"), std::string::npos);
  EXPECT_NE(ended.out.find("Glass: softening"), std::string::npos);
}

TEST(HeatCommand, WarnsOfStressByThickness) {
  const Workbench bench;
  bench.write("tack.toml", tack);
  const std::string thin = bench.run({"heat", "tack.toml"}).out;
  EXPECT_EQ(thin.find("Warning"), std::string::npos);
  const std::string thick = bench.run({"heat", "tack.toml", "--thickness", "6"}).out;
  EXPECT_NE(thick.find("Warning: leg 1 heats faster than 233"), std::string::npos) << thick;
  EXPECT_NE(thick.find("Warning: leg 4 cools through the annealing range"), std::string::npos);
  const std::string free = bench.run({"heat", "tack.toml", "--thickness", "6", "--faces", "both"}).out;
  EXPECT_EQ(free.find("Warning"), std::string::npos) << "a quarter of the stress";
  EXPECT_NE(bench.run({"heat", "--segment", "300,700,10"}).out.find("no hold near the annealing point"),
            std::string::npos);
}

TEST(HeatCommand, DrawsAPlot) {
  const Workbench bench;
  bench.write("tack.toml", tack);
  ASSERT_EQ(bench.run({"heat", "tack.toml", "--plot", "a.svg"}).code, 0);
  ASSERT_EQ(bench.run({"heat", "tack.toml", "--plot", "a.png"}).code, 0);
  EXPECT_TRUE(text_of_file(bench.bench() / "a.svg").starts_with("<svg"));
  EXPECT_TRUE(text_of_file(bench.bench() / "a.png").substr(1).starts_with("PNG"));
  expect_refused(bench, {"heat", "tack.toml", "--plot", "a.pdf"}, 2,
                 "powderplan: --plot: a.pdf ends neither in .svg nor in .png; choose another name");
  EXPECT_EQ(bench.run({"heat", "tack.toml", "--plot", "a.svg"}).code, 2) << "it is there";
  EXPECT_EQ(bench.run({"heat", "tack.toml", "--plot", "a.svg", "--replace"}).code, 0);
}

TEST(HeatCommand, RefusesInOneLineWithTheRightCode) {
  const Workbench bench;
  bench.write("tack.toml", tack);
  bench.write("cold.toml", "[[segment]]\nrate_c_per_h = 300\nto_c = 400\n");
  bench.write("ice.toml", "[[segment]]\nrate_c_per_h = 300\nto_c = -5\n");
  const std::string go_higher =
      "even the finest grain, 0.045 mm, stays loose powder; go higher: 605 \u00b0C for 10 minutes only just "
      "begins to hold it; and write degrees Celsius, not Fahrenheit";
  expect_refused(bench, {"heat", "cold.toml"}, 3,
                 "powderplan: cold.toml: this schedule melts nothing: at 400 \u00b0C " + go_higher);
  expect_refused(bench, {"heat", "--segment", "300,400,10"}, 2,
                 "powderplan: --segment: this schedule melts nothing: at 400 \u00b0C " + go_higher);
  expect_refused(
      bench, {"heat", "ice.toml"}, 3,
      "powderplan: ice.toml:3: [[segment]] 1: 'to_c' is -5; it must be 20 to 1500 \u00b0C; a kiln gets "
      "no colder than the room");
  expect_refused(
      bench, {"heat", "--segment", "0,660,10"}, 2,
      "powderplan: --segment 0,660,10: 0 is out of range; it must be 0.1 to 10000 \u00b0C per hour, up "
      "and down alike");
  expect_refused(
      bench, {"heat", "--segment", "300,660"}, 2,
      "powderplan: --segment: \"300,660\" is not three numbers; write RATE,TO,HOLD, for 300 \u00b0C per "
      "hour to 660 \u00b0C with 10 minutes: --segment 300,660,10");
  expect_refused(bench, {"heat"}, 2,
                 "powderplan: FILE: no schedule is given; name its file, or give every leg by --segment "
                 "RATE,TO,HOLD");
  expect_refused(bench, {"heat", "tack.toml", "--segment", "300,660,10"}, 2,
                 "powderplan: --segment: a schedule file is given too; say the schedule once: as FILE, or by "
                 "--segment");
  expect_refused(
      bench, {"heat", "tack.toml", "--faces", "three"}, 2,
      "powderplan: --faces: \"three\" is none of its values; choose one for glass that lies on the "
      "shelf, both for glass that stands free");
  expect_refused(bench, {"heat", "tack.toml", "--grain", "nan"}, 2,
                 "powderplan: --grain: nan is out of range; it must be 0.005 to 2 mm");
}

}  // namespace
}  // namespace powderplan::testing
