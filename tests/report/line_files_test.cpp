#include "report/line_files.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "report/fixture.h"
#include "report/line_marks.h"
#include "report/lost_map.h"
#include "report/plan_json.h"
#include "report/step_picture.h"
#include "report/worksheet.h"

namespace powderplan {
namespace {

using fixture::two_lines;

PlanRecord with_lines() {
  return fixture::record_with_lines();
}

std::size_t count(const std::string& text, const std::string& what) {
  std::size_t found = 0;
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + 1))
    ++found;
  return found;
}

TEST(LinesSvg, IsAtTrueSizeAndInOrder) {
  const std::string svg = lines_svg(two_lines(), Millimetres(32), Millimetres(24), "01-x-lines");
  EXPECT_NE(svg.find("width=\"32.000mm\" height=\"24.000mm\" viewBox=\"0 0 32.000 24.000\""),
            std::string::npos);
  EXPECT_NE(svg.find("<title>1</title>\n<path stroke-width=\"1.00\" d=\"M4.000 6.000L12.000 6.000\"/>"),
            std::string::npos);
  EXPECT_LT(svg.find("<title>1</title>"), svg.find("<title>2</title>"));
}

TEST(LinesSvg, SwellingLinesArePartedSoThatWidthsAreRight) {
  LinePlan swelling;
  swelling.paths = {{{{0, 0}, {10, 0}}, {0.5, 2.5}, 10}};
  const std::string svg = lines_svg(swelling, Millimetres(32), Millimetres(24), "x");
  EXPECT_EQ(count(svg, "stroke-width="), 1 + 10u) << "the piece, and 2 mm in steps of 0.2";
  EXPECT_NE(svg.find("stroke-width=\"0.60\" d=\"M0.000 0.000L1.000 0.000\""), std::string::npos);
  EXPECT_NE(svg.find("stroke-width=\"2.40\" d=\"M9.000 0.000L10.000 0.000\""), std::string::npos);
}

TEST(PlanJson, TellsOfLinesWhereThereAreSome) {
  const PlanRecord plan = with_lines();
  const auto json = nlohmann::json::parse(plan_json(plan));
  const auto& layers = json["layers"];
  const auto& line = layers.back();
  EXPECT_EQ(line["technique"], "line");
  EXPECT_TRUE(line["stencil"].is_null());
  EXPECT_EQ(line["lines"]["paths"], 2);
  EXPECT_EQ(line["lines"]["length_mm"], 19.6);
  EXPECT_EQ(line["lines"]["travel_mm"], 3);
  EXPECT_EQ(line["lines"]["widths_mm"], (std::vector<double>{0.5, 1.5}));
  EXPECT_EQ(line["lines"]["file"], "stencils/05-kelp-green-lines.svg");
  EXPECT_TRUE(line["scratched"].is_null());
  EXPECT_TRUE(layers[0]["lines"].is_null());
  EXPECT_EQ(layers[0]["scratched"]["file"], "stencils/01-dune-white-scratched.svg");
  EXPECT_EQ(layers[0]["technique"], "stencil");
}

TEST(Weights, WhatIsScratchedOutHasBeenSifted) {
  const PlanRecord plan = with_lines();
  const LayerWeights& field = plan.weights.layers[0];
  const double gone = plan.layers[0].load.value() * plan.layers[0].scratched_cm2;
  EXPECT_GT(gone, 0);
  EXPECT_NEAR(field.sift.value() * field.capture, field.lands.value() + gone, 1e-9);
  EXPECT_NEAR(field.lands.value(), plan.layers[0].load.value() * plan.layers[0].amount_cm2, 1e-12);
}

TEST(Worksheet, TellsHowLinesAreLaidAndScratched) {
  const std::string html = worksheet(with_lines(), std::string(64, 'c'));
  const auto holds = [&](const std::string& what) { return html.find(what) != std::string::npos; };
  EXPECT_TRUE(holds("<b>2 lines</b>, 20 mm together, 0.5 to 1.5 mm wide"));
  EXPECT_TRUE(holds("(x 4, y 6 mm)"));
  EXPECT_TRUE(holds("stencils/05-kelp-green-lines.svg"));
  EXPECT_TRUE(holds("<b>scratch 1 line</b>"));
  EXPECT_TRUE(holds("stencils/01-dune-white-scratched.svg"));
  EXPECT_GE(count(html, "ever blow"), 3u) << "beside the lines, the scratches and in the cautions";
  EXPECT_TRUE(holds("Powder lies loose here already") ==
              (with_lines().firing_plan.places[4].firing == with_lines().firing_plan.places[3].firing));
}

TEST(StepPicture, NumbersLinesAndMarksTheBeginning) {
  const PlanRecord plan = with_lines();
  const Image<Rgb8> picture = step_picture(plan, 4, 640);
  const auto at = [&](double x, double y) {
    return picture.at(static_cast<int>(x * picture.width() / 32), static_cast<int>(y * picture.width() / 32));
  };
  EXPECT_EQ(at(4, 6), mark_edge_colour) << "the dot";
  EXPECT_EQ(at(9, 6), mark_colour) << "the line";
}

TEST(LostMap, MarksWhatIsLostAndSaysHowMuch) {
  PlanRecord plan = fixture::record();
  plan.fidelity.lost_detail = 0.37;
  plan.lost_detail = Image<std::uint8_t>(64, 48);
  const Image<Rgb8> none = whole(lost_map(plan));
  EXPECT_GE(none.width(), 480);
  EXPECT_GT(none.height(), 48 + 40);
  plan.lost_detail.at(10, 20) = 255;
  const Image<Rgb8> one = whole(lost_map(plan));
  for (int y = 0; y < 48; ++y) {
    for (int x = 0; x < 64; ++x) {
      const Rgb8& p = one.at(x, y);
      EXPECT_EQ(p.r == p.g && p.g == p.b, !(x == 10 && y == 20)) << "all but the lost point is grey";
    }
  }
}

}  // namespace
}  // namespace powderplan
