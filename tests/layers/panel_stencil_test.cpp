// Stencils of panels: each hangs together, and together they open what the whole one opens.
#include "layers/panel_stencil.h"

#include <algorithm>

#include "layers/make_stencil.h"
#include "stencil_judge.h"
#include "stencils.h"

namespace powderplan {
namespace {

constexpr Millimetres pitch{0.5};

StencilRules rules_of(double border) {
  StencilRules rules;
  rules.border = Millimetres(border);
  return rules;
}

Stencil stencil_of(const cv::Mat& mask, const StencilRules& rules) {
  const Grid grid{pitch, mask.cols, mask.rows};
  const Image<float> cost(mask.cols, mask.rows, 5.0F);
  return make_stencil(bridged(to_image(mask), cost, grid, rules), grid, rules);
}

// Samples of the sheet (piece, border and what the marks would cut away) that hang together with its corner;
// step: an eighth of a point.
int loose_samples(const Stencil& stencil) {
  constexpr double step = 0.0625;
  const int margin = static_cast<int>(stencil.border.value() / step);
  cv::Mat open =
      times_covered(stencil.openings, stencil.width.value(), stencil.height.value(), step, margin) > 0;
  for (const StencilMark& mark : stencil.marks) {
    const auto sample = [&](PointMm p) {
      return cv::Point(static_cast<int>(p.x / step) + margin, static_cast<int>(p.y / step) + margin);
    };
    cv::line(open, sample(mark.from), sample(mark.to), cv::Scalar(255), 3);
  }
  return loose_points(open);
}

// Any straight cuts: columns, each with cuts of its own.
std::vector<BoxMm> any_panels(double width, double height) {
  const auto any_ends = [](double length) {
    std::vector<double> ends{0, length};
    for (int i = any_whole(0, 2); i > 0; --i)
      ends.push_back(any_whole(1, 99) * length / 100);
    std::sort(ends.begin(), ends.end());
    ends.erase(std::unique(ends.begin(), ends.end()), ends.end());
    return ends;
  };
  std::vector<BoxMm> panels;
  const std::vector<double> columns = any_ends(width);
  for (std::size_t i = 0; i + 1 < columns.size(); ++i) {
    const std::vector<double> rows = any_ends(height);
    for (std::size_t k = 0; k + 1 < rows.size(); ++k)
      panels.push_back({columns[i], rows[k], columns[i + 1], rows[k + 1]});
  }
  return panels;
}

double area(const Stencil& stencil) {
  double sum = 0;
  for (const PolygonMm& opening : stencil.openings)
    sum += area_of(opening);
  return sum;
}

TEST(PanelStencil, EveryPanelIsOneSheetAndAllOfThemOpenWhatTheWholeOneOpens) {
  holds_always(
      [] {
        const StencilRules rules = rules_of(any_whole(0, 1) == 0 ? 25 : 0);
        const Stencil whole = stencil_of(any_stencil_mask(70), rules);
        double open = 0, edges = 0;
        for (const BoxMm& panel : any_panels(whole.width.value(), whole.height.value())) {
          const Stencil part = panel_stencil(whole, panel, rules);
          RC_ASSERT(part.border >= least_panel_border);
          RC_ASSERT(simple_and_apart(part.openings));
          for (const PolygonMm& opening : part.openings) {
            for (const PointMm& p : opening) {
              RC_ASSERT(p.x >= -1e-9 && p.x <= part.width.value() + 1e-9);
              RC_ASSERT(p.y >= -1e-9 && p.y <= part.height.value() + 1e-9);
            }
          }
          RC_ASSERT(loose_samples(part) == 0);
          open += area(part);
          edges += 2 * (part.width + part.height).value();
        }
        // Only slivers narrower than can be cut are left out, and they lie along edges.
        RC_ASSERT(open <= area(whole) + 1e-3 * edges);
        RC_ASSERT(open >= area(whole) - least_cut_opening.value() * edges);
      },
      150);
}

TEST(PanelStencil, PartsMeetExactlyAtTheJoin) {
  const StencilRules rules = rules_of(25);
  Stencil whole = fixture::trial_stencil(300, 200);
  whole.openings.push_back(fixture::box_shape(140, 150, 160, 170));
  const Stencil left = panel_stencil(whole, {0, 0, 150, 200}, rules);
  const Stencil right = panel_stencil(whole, {150, 0, 300, 200}, rules);
  EXPECT_EQ(left.width, Millimetres(150));
  EXPECT_NEAR(area(left) + area(right), area(whole), 0.01);
  const auto on_edge = [](const Stencil& stencil, double x) {
    std::vector<double> places;
    for (const PolygonMm& opening : stencil.openings)
      for (const PointMm& p : opening)
        if (p.x == x)
          places.push_back(p.y);
    std::sort(places.begin(), places.end());
    return places;
  };
  ASSERT_GE(on_edge(left, 150).size(), 2U);
  EXPECT_EQ(on_edge(left, 150), on_edge(right, 0));
}

// A ring's island is held by a bridge to the right; a cut through the island parts it from that bridge.
TEST(PanelStencil, AnIslandPartedFromItsBridgeHangsOnTheBorder) {
  const cv::Mat ring = drawn_mask(160, 160, [](int x, int y) {
    const double r = std::hypot(x - 80, y - 80);
    return r > 30 && r < 60;
  });
  const StencilRules rules = rules_of(25);
  const Stencil whole = stencil_of(ring, rules);
  ASSERT_FALSE(whole.bridges.empty());
  EXPECT_EQ(loose_samples(whole), 0);
  for (const double at : {30.0, 40.0, 50.0}) {
    EXPECT_EQ(loose_samples(panel_stencil(whole, {0, 0, at, 80}, rules)), 0) << at;
    EXPECT_EQ(loose_samples(panel_stencil(whole, {at, 0, 80, 80}, rules)), 0) << at;
  }
}

TEST(PanelStencil, SliversThatNobodyCanCutAreLeftOut) {
  const StencilRules rules = rules_of(25);
  Stencil whole = fixture::sheet(300, 200);
  whole.openings = {fixture::box_shape(100, 50, 150.4, 90), fixture::box_shape(100, 120, 150.6, 160)};
  const Stencil right = panel_stencil(whole, {150, 0, 300, 200}, rules);
  ASSERT_EQ(right.openings.size(), 1U);
  EXPECT_NEAR(area(right), 0.6 * 40, 0.01);
}

TEST(PanelStencil, NeighboursHaveTheirMarksAtTheSamePlaces) {
  const StencilRules rules = rules_of(25);
  const Stencil whole = fixture::trial_stencil(310, 205);
  const auto along = [](const Stencil& stencil, bool right_edge) {
    std::vector<double> places;
    for (const StencilMark& mark : stencil.marks) {
      const bool beside = right_edge ? mark.from.x > stencil.width.value() : mark.from.x < 0;
      if (!beside)
        continue;
      EXPECT_EQ(mark.from.y, mark.to.y);
      EXPECT_NEAR(std::abs(mark.to.x - mark.from.x), mark_length.value(), 1e-9);
      places.push_back(mark.on_piece_mm);
    }
    return places;
  };
  const Stencil left = panel_stencil(whole, {0, 0, 142, 205}, rules);
  const Stencil above = panel_stencil(whole, {142, 0, 310, 90}, rules);
  const Stencil below = panel_stencil(whole, {142, 90, 310, 205}, rules);
  std::vector<double> others = along(above, false);
  for (const double place : along(below, false))
    others.push_back(place);
  EXPECT_EQ(along(left, true), others);
  EXPECT_EQ(others, (std::vector<double>{25, 50, 75, 100, 125, 150, 175, 200}));
  // On the piece's own edges there are none.
  EXPECT_TRUE(along(left, false).empty());
  for (const StencilMark& mark : above.marks)
    EXPECT_GE(mark.from.y, 0);
  EXPECT_EQ(below.marks.size(), 12U) << "5 on the left, 7 on the top";
  for (const StencilMark& mark : below.marks) {
    if (mark.from.y < 0)
      EXPECT_NEAR(mark.from.x + 142, mark.on_piece_mm, 1e-9);
    else
      EXPECT_NEAR(mark.from.y + 90, mark.on_piece_mm, 1e-9);
  }
}

TEST(PanelStencil, TheWholePieceIsTheWholeStencilWithoutMarks) {
  const StencilRules rules = rules_of(25);
  const Stencil whole = fixture::trial_stencil(310, 205);
  const Stencil same = panel_stencil(whole, {0, 0, 310, 205}, rules);
  EXPECT_EQ(same.openings, whole.openings);
  EXPECT_TRUE(same.marks.empty());
  EXPECT_EQ(same.border, whole.border);
}

}  // namespace
}  // namespace powderplan
