#include "plan/line_step.h"

#include <gtest/gtest.h>

#include "line_drawing.h"
#include "plan/lost_note.h"
#include "shelf.h"

namespace powderplan {
namespace {

constexpr double per_mm = 8;
const Rgb8 ink{14, 14, 15}, paper{236, 238, 238}, brick{160, 40, 40};

cv::Mat drawing(const Rgb8& on, const Rgb8& with, bool area = false) {
  cv::Mat sheet = sheet_of_paper(90, 70, per_mm, on);
  if (area)
    cv::rectangle(sheet, cv::Rect(40, 300, 240, 200), scalar_of(brick), cv::FILLED);
  draw(sheet,
       {{arc({45, 35}, 30, 22, 10, 300), 1.0, with},
        {{{10, 60}, {80, 55}}, 0.75, with},
        {{{20, 8}, {70, 20}}, 1.25, with}},
       per_mm);
  return sheet;
}

PlanRequest request() {
  PlanRequest wanted;
  wanted.smallest = Millimetres(2);
  wanted.most_layers = 5;
  return wanted;
}

ChoiceLimits limits(std::size_t layers = 5) {
  ChoiceLimits all;
  all.most_layers = layers;
  all.usable = {white, black, red, blue, yellow};
  return all;
}

std::vector<PowderWays> ways(PowderWays each = {}) {
  return std::vector<PowderWays>(small_shelf().powders.size(), each);
}

Target target(const cv::Mat& sheet) {
  return target_from(sheet, per_mm, 0.25);
}

const FiringLimits firing;
KilnLimits kiln() {
  return {small_shelf().sheets[0], small_shelf(), firing};
}

TEST(FindLines, ADrawingOnPaperIsLinesOnly) {
  const auto step = find_lines(small_painter(), target(drawing(paper, ink)), request(), limits(), ways());
  ASSERT_TRUE(step);
  EXPECT_TRUE(step->only_lines);
}

TEST(FindLines, AreasNeedTheOtherTechniques) {
  const auto step =
      find_lines(small_painter(), target(drawing(paper, ink, true)), request(), limits(), ways());
  ASSERT_TRUE(step);
  EXPECT_FALSE(step->only_lines);
  EXPECT_LE(step->ground_limits.most_layers, 2u) << "one colour is not worth four layers";
  const Grid& grid = step->ground.grid;
  EXPECT_EQ(step->ground.bare.at(grid.width - 5, grid.height / 2), 1) << "paper";
  EXPECT_EQ(step->ground.bare.at(60, 200), 0) << "brick";
}

TEST(FindLines, NoneWhereTheyAreNotAllowed) {
  EXPECT_FALSE(find_lines(small_painter(), target(drawing(paper, ink)), request(), limits(),
                          ways({true, true, false})));
}

TEST(FindLines, PowdersKeepTheWaysTheyMayBeLaid) {
  std::vector<PowderWays> mixed = ways();
  mixed[black].line = false;
  mixed[red] = {false, false, true};
  const auto step =
      find_lines(small_painter(), target(drawing(paper, ink, true)), request(), limits(), mixed);
  ASSERT_TRUE(step);
  EXPECT_EQ(step->line_limits.usable, (std::vector<std::size_t>{white, red, blue, yellow}));
  EXPECT_EQ(step->ground_limits.usable, (std::vector<std::size_t>{white, black, blue, yellow}));
}

TEST(FindLines, ForcedPowdersNeedTheOtherTechniques) {
  ChoiceLimits forced = limits();
  forced.use = {yellow};
  const auto step = find_lines(small_painter(), target(drawing(paper, ink)), request(), forced, ways());
  ASSERT_TRUE(step);
  EXPECT_FALSE(step->only_lines);
}

TEST(FindLines, LinesAloneAreNeverRefused) {
  const Painter painter = small_painter();
  const Target plain = target(sheet_of_paper(60, 40, per_mm, brick));
  const auto step = find_lines(painter, plain, request(), limits(), ways({false, false, true}));
  ASSERT_TRUE(step);
  EXPECT_TRUE(step->only_lines);
  Separation separation = bare_separation(plain.grid);
  std::vector<Layer> layers;
  EXPECT_FALSE(lay_lines(painter, plain, *step, kiln(), separation, layers));
  EXPECT_TRUE(layers.empty());
  EXPECT_TRUE(separation.choice.empty());
  EXPECT_EQ(line_notes(*step, layers).size(), 1u);
}

TEST(LayLines, BlackOnPaperIsOneLineLayer) {
  const Painter painter = small_painter();
  const Target picture = target(drawing(paper, ink));
  const auto step = find_lines(painter, picture, request(), limits(), ways());
  ASSERT_TRUE(step);
  Separation separation = bare_separation(picture.grid);
  std::vector<Layer> layers;
  ASSERT_TRUE(lay_lines(painter, picture, *step, kiln(), separation, layers));
  ASSERT_EQ(layers.size(), 1u);
  EXPECT_EQ(layers[0].technique, Technique::line);
  EXPECT_EQ(layers[0].powder, black);
  EXPECT_LE(layers[0].load, step->line_limits.most_load);
  EXPECT_NEAR(layers[0].lines->length_mm, 30 + 70.2 + 51.4 + 102.7, 35);
}

// A dark field on clear sheet with light strokes in it.
Separation night(const Grid& grid) {
  return {grid, {nest_of(black, {Load(0.5)})}, {{0}, {1}}, Image<std::uint16_t>(grid.width, grid.height, 1)};
}

TEST(LayLines, LightStrokesAreScratchedOutOfADarkField) {
  const Painter painter = small_painter();
  const Target picture = target(drawing(ink, paper));
  const auto step = find_lines(painter, picture, request(), limits(), ways());
  ASSERT_TRUE(step);
  ASSERT_FALSE(step->only_lines);
  Separation separation = night(picture.grid);
  std::vector<Layer> layers = make_layers(separation);
  const double before = layers[0].amount_cm2;
  ASSERT_TRUE(lay_lines(painter, picture, *step, kiln(), separation, layers));
  ASSERT_EQ(layers.size(), 1u) << "no layer for the lines";
  EXPECT_EQ(layers[0].technique, Technique::stencil);
  ASSERT_TRUE(layers[0].scratched);
  EXPECT_GT(layers[0].scratched_cm2, 1.5);
  EXPECT_NEAR(layers[0].amount_cm2 + layers[0].scratched_cm2, before, 1e-9);
}

TEST(LayLines, WhatIsFiredAlreadyCannotBeScratched) {
  // Two dark layers that are too heavy for one firing: below the upper one the glass stays dark.
  const Painter painter = small_painter();
  const Target picture = target(drawing(ink, paper));
  const auto step = find_lines(painter, picture, request(), limits(), ways());
  ASSERT_TRUE(step);
  Separation separation{picture.grid,
                        {nest_of(black, {Load(0.5)}), nest_of(blue, {Load(0.5)})},
                        {{0, 0}, {1, 1}},
                        Image<std::uint16_t>(picture.grid.width, picture.grid.height, 1)};
  std::vector<Layer> layers = make_layers(separation);
  ASSERT_TRUE(lay_lines(painter, picture, *step, kiln(), separation, layers));
  for (const Layer& layer : layers)
    EXPECT_FALSE(layer.scratched);
  EXPECT_EQ(layers.back().technique, Technique::line);
  EXPECT_EQ(layers.back().powder, white);
}

TEST(LayLines, KeepsTheOrderThatIsAskedFor) {
  // White must lie below black, so it cannot be drawn on it.
  const Painter painter = small_painter();
  const Target picture = target(drawing(ink, paper));
  ChoiceLimits ordered = limits();
  ordered.order = {white, black};
  auto step = find_lines(painter, picture, request(), ordered, ways());
  ASSERT_TRUE(step);
  Separation separation{picture.grid,
                        {nest_of(black, {Load(0.5)}), nest_of(blue, {Load(0.5)})},
                        {{0, 0}, {1, 1}},
                        Image<std::uint16_t>(picture.grid.width, picture.grid.height, 1)};
  std::vector<Layer> layers = make_layers(separation);
  lay_lines(painter, picture, *step, kiln(), separation, layers);
  for (const Layer& layer : layers)
    EXPECT_NE(layer.powder, white);
}

TEST(LayLines, StaysWithinTheBudget) {
  const Painter painter = small_painter();
  cv::Mat sheet = sheet_of_paper(90, 70, per_mm, paper);
  draw(sheet,
       {{{{10, 10}, {80, 12}}, 1, ink},
        {{{10, 25}, {80, 27}}, 1, brick},
        {{{10, 40}, {80, 42}}, 1, {26, 42, 110}},
        {{{10, 55}, {80, 57}}, 1, {200, 170, 50}}},
       per_mm);
  const Target picture = target(sheet);
  for (const std::size_t most : {1u, 2u, 5u}) {
    const auto step = find_lines(painter, picture, request(), limits(most), ways());
    ASSERT_TRUE(step);
    Separation separation = bare_separation(picture.grid);
    std::vector<Layer> layers;
    ASSERT_TRUE(lay_lines(painter, picture, *step, kiln(), separation, layers));
    EXPECT_LE(layers.size(), most);
    EXPECT_GE(layers.size(), std::min<std::size_t>(most, 3));
  }
  ChoiceLimits one_powder = limits(5);
  one_powder.most_powders = 1;
  const auto step = find_lines(painter, picture, request(), one_powder, ways());
  Separation separation = bare_separation(picture.grid);
  std::vector<Layer> layers;
  lay_lines(painter, picture, *step, kiln(), separation, layers);
  for (const Layer& layer : layers)
    EXPECT_EQ(layer.powder, separation.choice[0].steps[0].powder);
}

TEST(LostNote, SaysHowMuchAndWhatHelps) {
  PlanRequest wanted = request();
  EXPECT_EQ(lost_note(0.2, wanted), "");
  EXPECT_NE(lost_note(0.374, wanted).find("37 %"), std::string::npos);
  EXPECT_NE(lost_note(0.374, wanted).find("--smallest-mm"), std::string::npos);
  EXPECT_EQ(lost_note(0.374, wanted).find("--techniques"), std::string::npos) << "lines are allowed already";
  wanted.techniques.line = false;
  EXPECT_NE(lost_note(0.374, wanted).find("--techniques"), std::string::npos);
  wanted.techniques = {false, false, true};
  EXPECT_EQ(lost_note(0.374, wanted).find("--smallest-mm"), std::string::npos);
}

}  // namespace
}  // namespace powderplan
