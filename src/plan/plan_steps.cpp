#include "plan/plan_steps.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <optional>
#include <utility>
#include <vector>

#include "colour/upsample.h"
#include "firing/starting_schedule.h"
#include "firing/viscosity.h"
#include "glass/reactions.h"
#include "layers/fired_look.h"
#include "layers/meetings.h"
#include "layers/softening.h"
#include "parallel.h"
#include "plan/firing_request.h"
#include "plan/glass_notes.h"
#include "plan/plan_stencils.h"
#include "plan/shelf_request.h"
#include "problem.h"
#include "report/fade_words.h"
#include "report/files.h"
#include "report/stage.h"

namespace powderplan {
namespace {

// A sifter held high lays a cloud so many times as wide as one held low.
constexpr double edge_held_high = 3;
constexpr int powders_in_reach = 3;
// What one spot may carry over all firings, in full loads, when the table of the shelf's recipes is made.
constexpr double most_load_in_reach = 0.8;

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

FittedRows fitted_picture(const PlanRequest& request, std::vector<std::string>& notes) {
  return fit_to_piece(open_picture(request.image, request.picture_limits, notes), request.crop, request.fit,
                      request.size, request.pitch);
}

Image<PackedLab> picture_again(const PlanRequest& request, const std::string& sha256_before) {
  if (sha256(read_file(request.image)) != sha256_before)
    throw Problem(ProblemKind::input, request.image.string(), "has changed while it was being planned",
                  "plan it again");
  std::vector<std::string> known_notes;
  Target target = target_of(fitted_picture(request, known_notes));
  return std::move(target.wanted);
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

FiringLimits limits_of_firings(const PlanRequest& request, const PlanRecord& record,
                               const std::vector<std::size_t>& usable) {
  FiringLimits limits = firing_limits(request, record.palette);
  for (const PairPrice& price : record.pair_prices) {
    if (price.price > 0)
      limits.apart.push_back({price.one, price.other});
  }
  limits.reference_grain = median_grain(record.palette, usable);
  return limits;
}

ShelfReach reach_of_shelf(const Painter& painter, const std::vector<std::size_t>& usable) {
  return {painter, usable, full_load * most_load_in_reach, powders_in_reach};
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
  const Image<PackedLab> look = fired_colours(painter, layers, grid);
  return plan_firings(layers, kiln, softening_costs(layers, look, raised_softening, grid));
}

void look_over(PlanRecord& record, const PlanRequest& request, const Target& target) {
  const Grid& grid = record.separation.grid;
  const auto notes = static_cast<std::ptrdiff_t>(record.notes.size());
  set_up_panels(record, request, target);
  std::vector<std::optional<FadeBench>> benches(record.layers.size());
  record.fade_benches.clear();
  // Two strings of work that touch nothing of each other, each on one thread for much of its time.
  for_each_block(2, [&](std::size_t which) {
    if (which == 0)
      return for_each_block(benches.size(), [&](std::size_t i) { benches[i] = bench_of_fade(record, i); });
    record.spots = Spots(record.layers, grid.width, grid.height);
    record.meetings =
        meetings_of(reactions_of(record.palette), record.layers, record.spots, record.sheet, grid);
    // A small template would be laid across joins.
    set_up_stencils(record, record.panels.panels.empty() ? request.repeats : RepeatUse::never);
  });
  record.fade_benches = std::move(benches);
  std::vector<std::string> of_glass = glass_notes(record);
  record.notes.insert(record.notes.begin() + notes, std::make_move_iterator(of_glass.begin()),
                      std::make_move_iterator(of_glass.end()));
  record.weights = weigh(record.separation, record.layers, record.palette, request.weigh, layers_done(record),
                         record.panels.panels);
}

}  // namespace powderplan
