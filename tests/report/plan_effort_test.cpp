// What a plan asks of the hands, counted on the trial plan.
#include "report/plan_effort.h"

#include <gtest/gtest.h>

#include "report/fixture.h"

namespace powderplan {
namespace {

TEST(PlanEffort, CountsStencilsAndTheirCutting) {
  const PlanRecord plan = fixture::record_with_repeats();
  std::size_t stencils = 0, small = 0;
  double minutes = 0;
  for (const Layer& layer : plan.layers) {
    if (layer.stencil) {
      ++stencils;
      small += layer.stencil->repeats.size();
      minutes += layer.stencil->effort.minutes;
    }
  }
  const PlanEffort effort = effort_of(plan);
  ASSERT_GT(stencils, 0U);
  ASSERT_GT(small, 0U);
  EXPECT_EQ(effort.stencils, stencils);
  EXPECT_EQ(effort.small_templates, small);
  EXPECT_DOUBLE_EQ(effort.cut_minutes, minutes);
  EXPECT_EQ(effort.fades, 0U);
  EXPECT_EQ(effort.lines, 0U);
}

TEST(PlanEffort, TellsFadesWithoutATemplateFromThoseWithOne) {
  PlanRecord plan = fixture::record_with_fades();
  const PlanEffort effort = effort_of(plan);
  ASSERT_GT(effort.fades, 0U);
  ASSERT_LT(effort.free_fades, effort.fades) << "the trial plan has both kinds";
  ASSERT_GT(effort.free_fades, 0U);
}

TEST(PlanEffort, CountsLinesDrawnAndScratched) {
  PlanRecord plan = fixture::record();
  LinePlan lines;
  lines.paths.resize(3);
  lines.length_mm = 120;
  plan.layers[0].lines = lines;
  lines.paths.resize(2);
  plan.layers[1].scratched = lines;
  const PlanEffort effort = effort_of(plan);
  EXPECT_EQ(effort.lines, 5U);
  EXPECT_EQ(effort.line_length, Millimetres(240));
}

}  // namespace
}  // namespace powderplan
