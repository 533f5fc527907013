// What is to be tried, and every combination of it.
#include "plan/options.h"

#include <gtest/gtest.h>

#include "problem.h"

namespace powderplan {
namespace {

std::string refused(const std::function<void()>& call) {
  try {
    call();
    return "";
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::command_line);
    return problem.what();
  }
}

PlanRequest least() {
  PlanRequest request;
  request.image = "heron.jpg";
  request.palettes = {"shelf.toml"};
  request.size.width = Millimetres(200);
  return request;
}

TEST(Trying, NamesAFlagAndValues) {
  const Trying tried = trying_of("layers=6,8,12");
  EXPECT_EQ(tried.setting->flag, "--layers");
  EXPECT_EQ(tried.values, (std::vector<std::string>{"6", "8", "12"}));
  EXPECT_EQ(trying_of("smallest-mm=1.5").values, (std::vector<std::string>{"1.5"}));
}

TEST(Trying, RefusesWhatCannotBeTried) {
  EXPECT_EQ(refused([] { trying_of("layers"); }),
            "--try: \"layers\" names no values; write it as layers=6,8,12");
  EXPECT_EQ(refused([] { trying_of("layer=6"); }),
            "--try: \"layer\" is no setting that can be tried; did you mean layers?");
  EXPECT_NE(refused([] { trying_of("IMAGE=a.png"); }), "") << "another picture is another piece";
  for (const char* tried : {"title=a", "pitch-mm=0.5,1", "width=100,200", "view=wall,window", "crop=0,0,1,1"})
    EXPECT_NE(refused([&] { trying_of(tried); }), "") << tried;
  EXPECT_EQ(refused([] { trying_of("layers=6,6"); }),
            "--try: layers is to be tried with \"6\" twice; name each value once");
  EXPECT_NE(refused([] { trying_of("layers="); }), "");
}

TEST(Variants, AreAllCombinationsTheLastSettingFastest) {
  const std::vector<Variant> variants =
      variants_of(least(), {trying_of("layers=6,8"), trying_of("base=white,clear,auto")});
  ASSERT_EQ(variants.size(), 6U);
  EXPECT_EQ(variants[0].request.most_layers, 6U);
  EXPECT_EQ(variants[0].request.base, "white");
  EXPECT_EQ(variants[1].request.base, "clear");
  EXPECT_EQ(variants[5].request.most_layers, 8U);
  EXPECT_EQ(variants[5].request.base, "auto");
  ASSERT_EQ(variants[4].changed.size(), 2U);
  EXPECT_EQ(variants[4].changed[0].flag, "--layers");
  EXPECT_EQ(variants[4].changed[1].value, "clear");
}

TEST(Variants, RefuseTooManyAndWhatDoesNotGoTogether) {
  EXPECT_EQ(refused([] {
              variants_of(least(), {trying_of("layers=1,2,3,4,5,6,7"), trying_of("base=white,clear")});
            }),
            "--try: that makes more than 12 plans; try fewer values at a time");
  EXPECT_EQ(refused([] {
              variants_of(least(), {trying_of("layers=1"), trying_of("layers=2")});
            }),
            "--try: layers is there twice; give all its values in one --try");
  EXPECT_NE(refused([] { variants_of(least(), {trying_of("layers=6,900")}); }).find("--layers"),
            std::string::npos);
  PlanRequest request = least();
  request.bridge = Millimetres(2);
  EXPECT_NE(refused([&] { variants_of(request, {trying_of("smallest-mm=1,3")}); }).find("--bridge-mm"),
            std::string::npos);
}

TEST(Variants, AreComparedOnAGridThatTheNarrowestOpeningNeeds) {
  PlanRequest request = least();
  request.pitch = Millimetres(0.25);
  request.smallest = Millimetres(2);
  const auto pitch = [&](const char* tried) {
    return pitch_to_compare(variants_of(request, {trying_of(tried)}));
  };
  EXPECT_EQ(pitch("layers=6,8"), Millimetres(0.5));
  EXPECT_EQ(pitch("smallest-mm=3,1.2"), Millimetres(0.3)) << "one for all, by the narrowest";
  request.pitch = Millimetres(0.8);
  EXPECT_EQ(pitch("layers=6,8"), Millimetres(0.8)) << "never finer than asked for";
}

}  // namespace
}  // namespace powderplan
