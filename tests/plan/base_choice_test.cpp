#include "plan/base_choice.h"

#include <gtest/gtest.h>

#include "colour/observer.h"
#include "places.h"
#include "problem.h"
#include "report/files.h"

namespace powderplan {
namespace {

const Palette& shelf() {
  static const std::string file = testing::source_folder() + "/palettes/marsh-full.toml";
  static const Palette palette = parse_palette(read_text_file(file), file);
  return palette;
}

Painter painter_on(const Sheet& sheet) {
  return {shelf(), ground_of(sheet, shelf().glass.density, View::wall, Spectrum::constant(0.9)),
          flow_for(Finish::full, Millimetres(0.1)), Observer(illuminant_d65())};
}

// One colour all over, bare from the given column on.
Target plain(const LabPixel& colour, int first_bare_column) {
  Target target;
  target.grid = {Millimetres(1), 40, 30};
  target.picture = Image<PackedLab>(40, 30, colour);
  target.wanted = target.picture;
  target.bare = Image<std::uint8_t>(40, 30);
  for (int y = 0; y < 30; ++y) {
    for (int x = first_bare_column; x < 40; ++x)
      target.bare.at(x, y) = 1;
  }
  return target;
}

std::string chosen(const Target& target, const std::string& wanted, std::vector<BaseTrial>& trials) {
  ChoiceLimits limits;
  for (std::size_t p = 0; p < shelf().powders.size(); ++p)
    limits.usable.push_back(p);
  limits.most_layers = 2;
  return shelf().sheets[choose_base(wanted, shelf(), painter_on, target, Millimetres(2), limits, trials)].id;
}

TEST(BaseChoice, ANamedSheetIsTakenWithoutTrial) {
  std::vector<BaseTrial> trials;
  EXPECT_EQ(chosen(plain({50, 0, 0}, 40), "tide-tint", trials), "tide-tint");
  EXPECT_TRUE(trials.empty());
}

TEST(BaseChoice, TriesEverySheetAndTakesTheBest) {
  std::vector<BaseTrial> trials;
  const std::string best = chosen(plain({8, 0, 0}, 40), "auto", trials);
  ASSERT_EQ(trials.size(), shelf().sheets.size());
  EXPECT_EQ(trials.front().sheet_id, best);
  for (std::size_t i = 1; i < trials.size(); ++i)
    EXPECT_LE(trials[i - 1].mean_de00, trials[i].mean_de00);
}

TEST(BaseChoice, ADarkDrawingOnNothingGetsALightSheet) {
  std::vector<BaseTrial> trials;
  EXPECT_EQ(chosen(plain({8, 0, 0}, 4), "auto", trials), "white");
}

TEST(BaseChoice, AnUnknownSheetIsNamedWithThoseThereAre) {
  std::vector<BaseTrial> trials;
  try {
    chosen(plain({50, 0, 0}, 40), "mirror", trials);
    FAIL();
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::command_line);
    EXPECT_STREQ(problem.what(),
                 "--base: no sheet \"mirror\" on the shelf; the shelf has clear, white, black, tide-tint, "
                 "dusk-tint; or "
                 "use auto");
  }
}

}  // namespace
}  // namespace powderplan
