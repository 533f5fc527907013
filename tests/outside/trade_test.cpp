// What people who work with powder know. Common practice, no source. The swatches
// are invented: seven transparents and nine opalescents over the range of lightness and hue.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "colour/difference.h"
#include "colour/observer.h"
#include "finished.h"
#include "optics/grain.h"
#include "optics/stack.h"
#include "optics/swatch.h"

namespace powderplan {
namespace {

Lab lab(const Spectrum& seen) {
  static const Observer see(illuminant_d65());
  return to_lab(see(seen));
}

struct Glass {
  std::string name;
  Rgb8 over_white;
  PowderOptics optics;
};

Glass glass(const char* name, const char* over_white, const char* over_black) {
  Rgb8 white, black;
  EXPECT_TRUE(parse_hex(over_white, white) && parse_hex(over_black, black));
  const SwatchFit fit = fit_swatch(white, black, full_load);
  return {name, white, {fit.k, fit.s, Millimetres(0.1)}};
}

const std::vector<Glass>& transparents() {
  static const std::vector<Glass> all{
      glass("dark blue", "#1a2a6e", "#050814"),  glass("ruby", "#8c1420", "#120306"),
      glass("deep green", "#1e5a32", "#060f09"), glass("amber", "#b4701c", "#150c04"),
      glass("lilac grey", "#8c829b", "#0e0d10"), glass("pale pink", "#e6b4be", "#140f10"),
      glass("pale aqua", "#b4dcdc", "#0c1212")};
  return all;
}

const std::vector<Glass>& opalescents() {
  static const std::vector<Glass> all{
      glass("black", "#0c0c0d", "#0c0c0d"),       glass("navy", "#1c2450", "#1a2148"),
      glass("dark red", "#7c1418", "#701216"),    glass("brown", "#5c3a20", "#54351d"),
      glass("mid green", "#3c8c50", "#36784a"),   glass("turquoise", "#46a5aa", "#3f949c"),
      glass("pale yellow", "#f0e08c", "#c8ba70"), glass("cream", "#ece2c8", "#c4bcac"),
      glass("white", "#f2f2f0", "#d2d6da")};
  return all;
}

std::vector<Glass> every_glass() {
  std::vector<Glass> all = transparents();
  all.insert(all.end(), opalescents().begin(), opalescents().end());
  return all;
}

// Clear sheet, 3 mm.
Ground clear_sheet(View view, double backing) {
  Ground ground;
  ground.view = view;
  ground.sheet_k = Spectrum::constant(0.005);
  ground.sheet_load = full_load;
  ground.backing = Spectrum::constant(backing);
  return ground;
}
Ground on_white() {
  return clear_sheet(View::wall, white_ground);
}
Ground on_black() {
  return clear_sheet(View::wall, black_ground);
}
Ground in_window() {
  return clear_sheet(View::window, 0);
}

Lab fired(const Glass& powder, double load, Finish finish, const Ground& ground) {
  const CoveringLayer layer =
      covering_layer(powder.optics, Load(load), finished(finish, powder.optics.grain));
  return lab(seen(ground, std::span(&layer, 1)));
}

// A colour that anyone sees at once beside the bare glass, and a stronger one; CIEDE2000.
constexpr double plain_to_see = 5, strong = 10;

// The least load that differs so much from the bare ground; empty when no load up to 4 g/cm2 does.
std::optional<double> load_to_see(const Glass& powder, Finish finish, const Ground& ground,
                                  double difference) {
  const Lab bare = lab(seen(ground, {}));
  double load = 0.0005;
  while (load < 4) {
    if (ciede2000(bare, fired(powder, load, finish, ground)) >= difference)
      return load;
    load *= 1.005;
  }
  return std::nullopt;
}

TEST(Trade, AFullLoadOfPowderHasTheSaturationOfThreeMillimetreSheet) {
  for (const Glass& powder : every_glass()) {
    const Lab sheet = to_lab(powder.over_white);
    const Lab powdered =
        fired(powder, full_load.value(), Finish::full, clear_sheet(View::wall, white_ground));
    EXPECT_LT(ciede2000(sheet, powdered), 1.5) << powder.name;
    EXPECT_NEAR(std::hypot(powdered.a, powdered.b), std::hypot(sheet.a, sheet.b), 1.0) << powder.name;
  }
}

TEST(Trade, AFullLoadStandsAboutFourMillimetresHighUnfired) {
  EXPECT_NEAR(unfired_height(full_load).value(), 4.0, 0.3);
}

TEST(Trade, LighterColoursNeedMorePowderThanDarkerOnes) {
  for (const auto* kind : {&transparents(), &opalescents()}) {
    for (const Glass& dark : *kind) {
      for (const Glass& light : *kind) {
        const double dark_l = to_lab(dark.over_white).l, light_l = to_lab(light.over_white).l;
        // Clearly lighter; and of hues near in lightness either may win.
        if (light_l < dark_l + 40)
          continue;
        const auto dark_load = load_to_see(dark, Finish::full, on_white(), plain_to_see);
        const auto light_load = load_to_see(light, Finish::full, on_white(), plain_to_see);
        ASSERT_TRUE(dark_load) << dark.name;
        // White is never seen on white: no load is enough.
        if (light_load) {
          EXPECT_GT(*light_load, *dark_load) << light.name << " against " << dark.name;
        }
      }
    }
  }
}

TEST(Trade, TransparentsNeedMorePowderThanOpalescentsOfTheSameColour) {
  struct Pair {
    const char *name, *over_white, *transparent_over_black, *opalescent_over_black;
  };
  const Pair pairs[] = {
      {"blue", "#23408c", "#070a12", "#203a7e"},  {"green", "#3c8c50", "#0a110b", "#36784a"},
      {"red", "#96202a", "#120607", "#861c26"},   {"amber", "#be8238", "#130e08", "#a87232"},
      {"aqua", "#96d2d2", "#0e1313", "#78a8a8"},  {"pink", "#e6b4be", "#140f10", "#b99199"},
      {"yellow", "#f0dc82", "#16140c", "#c4b46c"}};
  for (const Pair& pair : pairs) {
    const Glass transparent = glass(pair.name, pair.over_white, pair.transparent_over_black);
    const Glass opalescent = glass(pair.name, pair.over_white, pair.opalescent_over_black);
    for (const Ground& ground : {on_white(), on_black(), in_window(), clear_sheet(View::wall, 0.5)}) {
      const auto more = load_to_see(transparent, Finish::full, ground, strong);
      const auto less = load_to_see(opalescent, Finish::full, ground, strong);
      ASSERT_TRUE(less) << pair.name;
      EXPECT_GT(more.value_or(4), *less) << pair.name;
    }
  }
}

void expect_less_when_textured(const Ground& ground, double difference, const std::string& where) {
  for (const Glass& powder : every_glass()) {
    const auto textured = load_to_see(powder, Finish::tack, ground, difference);
    ASSERT_TRUE(textured) << powder.name << " " << where;
    const auto flat = load_to_see(powder, Finish::full, ground, difference);
    EXPECT_LT(*textured, flat.value_or(4)) << powder.name << " " << where;
  }
}

TEST(Trade, ATexturedFinishNeedsLessPowderForTheSameColourInAWindow) {
  expect_less_when_textured(in_window(), plain_to_see, "plain");
  expect_less_when_textured(in_window(), strong, "strong");
}

TEST(Trade, ATexturedFinishNeedsLessPowderForTheSameColourOnADarkGround) {
  expect_less_when_textured(on_black(), plain_to_see, "plain");
  expect_less_when_textured(on_black(), strong, "strong");
}

// The one place where the model and the trade part: on white, all that a texture does in this model (air that
// scatters, a surface that mixes in its glare) sends light back, and so takes from a colour darker than its
// ground. It must stay a small part of the load.
TEST(Trade, OnAWhiteGroundATexturedFinishCostsAtMostAQuarterMore) {
  for (const Glass& powder : every_glass()) {
    const auto textured = load_to_see(powder, Finish::tack, on_white(), plain_to_see);
    const auto flat = load_to_see(powder, Finish::full, on_white(), plain_to_see);
    if (powder.name == "white")
      continue;
    ASSERT_TRUE(textured && flat) << powder.name;
    EXPECT_GT(*textured, *flat) << powder.name;
    EXPECT_LT(*textured, 1.25 * *flat) << powder.name;
  }
}

TEST(Trade, ADryTackFusedBlackLooksGrey) {
  const Glass& black = opalescents().front();
  for (const double load : {0.5, 0.75, 1.0}) {
    const Lab grey = fired(black, load, Finish::tack, on_white()),
              deep = fired(black, load, Finish::full, on_white());
    EXPECT_GT(grey.l, deep.l + 15) << load;
    EXPECT_LT(grey.l, 50) << load;
    EXPECT_LT(std::hypot(grey.a, grey.b), 5) << load;
  }
  EXPECT_LT(fired(black, 0.75, Finish::full, on_white()).l, 10);
}

TEST(Trade, UnfiredPowderOfEveryColourLooksPale) {
  for (const Glass& powder : every_glass()) {
    const Lab loose = fired(powder, 0.75, Finish::unfired, on_white());
    const Lab flat = fired(powder, 0.75, Finish::full, on_white());
    EXPECT_GT(loose.l, 50) << powder.name;
    EXPECT_GT(loose.l, flat.l) << powder.name;
    EXPECT_LT(std::hypot(loose.a, loose.b), std::max(2.0, std::hypot(flat.a, flat.b) * 2 / 3)) << powder.name;
  }
}

TEST(Trade, ALightDustingOfADarkPowderShowsAsGreyGrain) {
  const Glass& black = opalescents().front();
  const Lab dusted = fired(black, 0.004, Finish::full, on_white());
  EXPECT_GT(dusted.l, fired(black, 0.1, Finish::full, on_white()).l + 20);
  EXPECT_LT(dusted.l, lab(seen(on_white(), {})).l - 1);
}

}  // namespace
}  // namespace powderplan
