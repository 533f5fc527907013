// Lines in a plan: strokes are taken out of the target before the separation, and laid on top of it
// afterwards.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "firing/firing.h"
#include "layers/layer.h"
#include "layers/line_paths.h"
#include "plan/request.h"
#include "recipe/painter.h"
#include "separation/choice_search.h"
#include "separation/powder_ways.h"
#include "separation/separation.h"
#include "separation/strokes.h"
#include "separation/target.h"

namespace powderplan {

struct LineStep {
  StrokeMap strokes;
  Target ground;         // the target without its strokes; lay_lines does not ask for it
  Millimetres smallest;  // of the plan
  bool alone = false;    // there is no powder that may be laid in another way
  // Nothing but lines: no other technique is allowed, or the ground is near enough to bare sheet.
  bool only_lines = false;
  bool ground_lost = false;    // lines alone are allowed, but there are areas that differ from bare sheet
  ChoiceLimits ground_limits;  // of the separation of the ground: room is left for the lines
  ChoiceLimits line_limits;    // of the whole plan, with loads that a line can hold
};

// Ground that differs by no more than this from bare sheet, CIEDE2000, needs no powder: paper is what a
// drawing is drawn on. Our estimate: a visible difference, but none that anybody would spend a layer on.
inline constexpr double ground_like_sheet_de00 = 8.0;

// Lines may be off by so much more, on average, when that keeps them light enough for the firing of what lies
// below: it saves a day.
inline constexpr double worth_of_firing_de00 = 4.0;

// Those of the powders that may be laid by stencil or fade.
std::vector<std::size_t> for_areas(const std::vector<std::size_t>& usable,
                                   const std::vector<PowderWays>& ways);

// `ways`: one a powder of the palette, as the run allows it. Empty when the plan shall have no lines: the
// technique is not allowed, the picture is no drawing, or nothing in it is drawn. Where lines alone are
// allowed, it is never empty.
std::optional<LineStep> find_lines(const Painter& painter, const Target& target, const PlanRequest& request,
                                   const ChoiceLimits& limits, const std::vector<PowderWays>& ways);

// A separation of nothing: bare sheet everywhere.
Separation bare_separation(const Grid& grid);

// Lays the strokes over what lies already: light ones are scratched out of a loose even field where that
// serves about as well, the others become line layers, as many as the limits allow. A line does not count
// among the powders at a spot. `target` is what the strokes were found in. False, and nothing has changed,
// when no line improves the plan.
bool lay_lines(const Painter& painter, const Target& target, const LineStep& step, const KilnLimits& kiln,
               Separation& separation, std::vector<Layer>& layers);

// What the user should know of these lines.
std::vector<std::string> line_notes(const LineStep& step, const std::vector<Layer>& layers);

// How a hand lays lines in a plan of this smallest width.
LineRules line_rules(Millimetres smallest);

}  // namespace powderplan
