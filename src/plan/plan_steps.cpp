#include "plan/plan_steps.h"

#include <fmt/format.h>

#include <algorithm>

#include "colour/upsample.h"
#include "firing/starting_schedule.h"
#include "firing/viscosity.h"
#include "layers/fired_look.h"
#include "layers/softening.h"
#include "problem.h"
#include "report/files.h"

namespace powderplan {
namespace {

// A sifter held high lays a cloud so many times as wide as one held low.
constexpr double edge_held_high = 3;

}  // namespace

Palette read_shelf(const PlanRequest& request, std::vector<InputFile>& inputs) {
  if (request.palettes.empty())
    throw Problem(ProblemKind::command_line, "--palette", "no palette is given",
                  "name the file of your shelf");
  std::vector<Palette> shelves;
  std::vector<std::string> names;
  for (const std::filesystem::path& file : request.palettes) {
    const std::string text = read_text_file(file);
    inputs.push_back({"palette", file.filename().string(),
                      sha256({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()})});
    shelves.push_back(parse_palette(text, file.string()));
    names.push_back(file.string());
  }
  return merge(shelves, names);
}

Spectrum backing_spectrum(const std::string& colour) {
  Rgb8 rgb;
  if (!parse_hex(colour, rgb))
    throw Problem(ProblemKind::command_line, "--backing", fmt::format("\"{}\" is not a colour", colour),
                  "write it as \"#rrggbb\"");
  return smooth_spectrum(to_linear_rgb(rgb));
}

Observer observer_under(const std::string& light) {
  const auto illuminant = illuminant_named(light);
  if (!illuminant)
    throw Problem(ProblemKind::command_line, "--light", fmt::format("\"{}\" is not a known light", light),
                  fmt::format("use D65, D50, A, or daylight by temperature from {}K to {}K",
                              coolest_daylight_k, hottest_daylight_k));
  return Observer(*illuminant);
}

FadeRules fades_wanted(const PlanRequest& request, std::vector<PowderWays> ways) {
  FadeRules rules;
  rules.ways = std::move(ways);
  rules.edge_low = request.soft_edge;
  rules.edge_high = request.soft_edge * edge_held_high;
  return rules;
}

StencilRules stencil_rules(const PlanRequest& request) {
  StencilRules rules;
  rules.smallest = request.smallest;
  rules.bridge = request.bridge.value_or(std::max(usual_bridge, request.smallest));
  rules.border = request.border;
  rules.tolerance = request.cut_tolerance;
  return rules;
}

Painter painter_for_last_firing(const PlanRequest& request, const PlanRecord& record, const Sheet& sheet,
                                const Observer& observer) {
  const ViscosityCurve viscosity(record.palette.glass);
  const auto flow_to = [&](Finish finish) {
    return flow_of(
        starting_schedule(record.palette.glass, sheet.thickness, finish, record.limits.reference_grain),
        viscosity);
  };
  Painter painter(record.palette,
                  ground_of(sheet, record.palette.glass.density, request.view, record.backing),
                  flow_to(request.firing.finish), observer);
  for (const FinishWish& wish : record.limits.other)
    painter.fire(wish.powder, flow_to(wish.finish));
  return painter;
}

FiringPlan planned_firings(const std::vector<Layer>& layers, const KilnLimits& kiln, const Painter& painter,
                           const Grid& grid) {
  FiringPlan plan = plan_firings(layers, kiln);
  if (raised_stencils(plan) == 0)
    return plan;
  constexpr std::uint16_t levels = 255;
  const Image<LabPixel> look = fired_colours(painter, layers, grid, levels);
  return plan_firings(layers, kiln, softening_costs(layers, look, raised_softening, grid));
}

}  // namespace powderplan
