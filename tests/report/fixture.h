// A small plan with everything in it: three powders, one of them with two stencils, three firings, and what
// other numbers of them would cost.
#pragma once

#include <cmath>
#include <functional>
#include <string>

#include "fades.h"
#include "firing/firing.h"
#include "glass/palette.h"
#include "layers/layer.h"
#include "layers/line_layers.h"
#include "layers/meetings.h"
#include "plan/plan_stencils.h"
#include "recipe/painter.h"
#include "report/difference_map.h"
#include "report/plan_record.h"
#include "report/preview.h"
#include "weigh/weigh.h"

namespace powderplan::fixture {

// A name that would break out of HTML, CSV and Mustache if it could.
inline const std::string wild_name = "<b>&\"'\xf0\x9f\x98\x80 {{title}}";

inline Palette shelf() {
  return parse_palette(R"(
[palette]
name = "Trial shelf"
family = "family-a"
[[powder]]
id = "dune-white"
name = "Dune White"
body = "opalescent"
over_white = "#efeee8"
over_black = "#dcdcd8"
load = 0.40
grain_mm = 0.09
stock_g = 500
[[powder]]
id = "kelp-green"
name = "@Kelp, \"green\""
body = "transparent"
over_white = "#4f7a4a"
over_black = "#10160f"
load = 0.75
grain_mm = 0.12
stock_g = 0.2
[[powder]]
id = "rust-red"
name = "Rust"
body = "opalescent"
over_white = "#8c3a26"
over_black = "#843422"
load = 0.35
grain_mm = 0.10
[[sheet]]
id = "clear"
name = "Clear"
body = "transparent"
thickness_mm = 3
over_white = "#eef0ee"
over_black = "#0a0a0a"
)",
                       "shelf.toml");
}

// Firings of the layers as they are.
inline void plan_kiln(PlanRecord& plan) {
  const KilnLimits kiln{plan.palette.sheets[0], plan.palette, plan.limits};
  plan.firing_plan = plan_firings(plan.layers, kiln);
  allow_for_powder(plan.firing_plan, plan.layers, kiln, plan.separation.grid);
}

// Labels by geometry: a white ground in a disc with a bare island, green inside it in two tones and a little
// outside, red dots.
inline PlanRecord record(int width = 64, int height = 48, Millimetres pitch = Millimetres(0.5),
                         const std::function<void(Separation&)>& change = {}) {
  PlanRecord plan;
  plan.title = "Trial " + wild_name;
  plan.program_version = "0.1.0";
  plan.inputs = {{"image", "trial.png", std::string(64, 'a')},
                 {"palette", "shelf.toml", std::string(64, 'b')}};
  plan.width = pitch * width;
  plan.height = pitch * height;
  plan.palette = shelf();
  plan.palette.powders[2].name = wild_name;
  plan.illuminant = "D65";
  plan.backing = Spectrum::constant(0.9);
  plan.smallest = Millimetres(1.5);
  plan.most_layers = 6;
  plan.limits.most_loose_load = Load(0.6);

  Separation& separation = plan.separation;
  separation.grid = {pitch, width, height};
  separation.choice = {nest_of(0, {Load(0.3)}), nest_of(1, {Load(0.12), Load(0.2)}),
                       nest_of(2, {Load(0.08)})};
  separation.labels = {{0, 0, 0}, {1, 0, 0}, {1, 1, 0}, {1, 2, 0},
                       {0, 1, 0}, {1, 0, 1}, {0, 0, 1}, {1, 2, 1}};
  separation.label_at = Image<std::uint16_t>(width, height);
  plan.target = Image<Rgb8>(width, height);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      const double u = (x + 0.5) / width * 2 - 1, v = (y + 0.5) / height * 2 - 1, r = std::hypot(u, v);
      const bool dot = std::hypot(std::fmod(u + 1, 0.5) - 0.25, std::fmod(v + 1, 0.5) - 0.25) < 0.08;
      const bool island = std::hypot(u + 0.3, v - 0.05) < 0.14;
      const bool disc = r < 0.85 && !island;
      std::uint16_t label = disc ? 1 : 0;
      if (u > 0.1 && v > -0.2)
        label = disc ? (v > 0.3 ? 3 : 2) : (r < 1.05 ? 4 : 0);
      if (dot)
        label = label == 3 ? 7 : label == 1 ? 5 : label == 0 ? 6 : label;
      separation.label_at.at(x, y) = label;
      plan.target.at(x, y) = {static_cast<std::uint8_t>(120 + 90 * u),
                              static_cast<std::uint8_t>(150 - 60 * v),
                              static_cast<std::uint8_t>(130 - 80 * r * 0.5)};
    }
  }
  if (change)
    change(separation);
  plan.layers = make_layers(separation);
  const Sheet& sheet = plan.palette.sheets[0];
  const Painter painter(plan.palette, ground_of(sheet, plan.palette.glass.density, plan.view, plan.backing),
                        flow_for(plan.limits.finish, plan.limits.reference_grain),
                        Observer(*illuminant_named(plan.illuminant)));
  Target target{separation.grid, Image<PackedLab>(width, height), {}, {}};
  for (std::size_t i = 0; i < plan.target.size(); ++i)
    target.wanted[i] = to_pixel(to_lab(plan.target[i]));
  target.picture = target.wanted;
  StencilRules rules;
  rules.smallest = rules.bridge = plan.smallest;
  hold_together(plan.layers, {sheet, plan.palette, plan.limits}, painter, target, rules, *plan.most_layers);
  plan.spots = Spots(plan.layers, width, height);
  plan_kiln(plan);
  set_up_stencils(plan, RepeatUse::found);
  plan.weights = weigh(separation, plan.layers, plan.palette, plan.weigh_rules);
  const DifferenceField field = differences(plan, plan.target, fired_preview(plan, plan.view));
  plan.fidelity = {.mean_de00 = field.mean,
                   .p95_de00 = field.p95,
                   .softened_mean_de00 = field.mean,
                   .seen_mean_de00 = field.mean * 0.8,
                   .seen_from_mm = 1500,
                   .edge_mm = 0.6,
                   .flat_mean_de00 = field.mean * 1.6,
                   .bound_mean_de00 = field.mean * 0.5,
                   .unfitted_mean_de00 = field.mean * 1.1,
                   .expected_de00 = 4};
  const double mean = field.mean;
  plan.firing_trials = {{1, 0, 1, mean * 1.25, mean * 1.25},
                        {1, 2, 2, mean, mean * 1.12},
                        {2, 0, 2, mean * 1.06, mean * 1.06},
                        {3, 0, 3, mean, mean},
                        {4, 0, 4, mean * 0.9, mean * 0.9}};
  plan.notes = {"The picture has no colour profile: taken as sRGB.", "A note with <i>marks</i>."};
  return plan;
}

// The same at a size where the dots come again as one shape, close together.
inline PlanRecord record_with_repeats() {
  PlanRecord plan = record(224, 144);
  set_up_stencils(plan, RepeatUse::always);
  return plan;
}

// The same where the white reacts with the red and with the sheet, the red with the green.
inline PlanRecord record_with_reactions(int width = 64, int height = 48) {
  PlanRecord plan = record(width, height);
  plan.palette.powders[0].carries = {"copper"};
  plan.palette.powders[1].reacts_with = {"sulphur"};
  plan.palette.powders[2].carries = {"sulphur"};
  plan.palette.powders[2].reacts_with = {"copper"};
  plan.palette.sheets[0].reacts_with = {"copper"};
  plan.meetings =
      meetings_of(reactions_of(plan.palette), plan.layers, plan.spots, plan.sheet, plan.separation.grid);
  plan.pair_prices = {{2, 0, 10}};
  return plan;
}

// The same with two fades: the white, full below and right, ends crisply at its template; the red lies
// without one, from the top down.
inline PlanRecord record_with_fades(int width = 224, int height = 144) {
  return record(width, height, Millimetres(0.5), [](Separation& separation) {
    for (Tones& tones : separation.labels)
      tones[2] = 1;
    const double wide = separation.grid.width * separation.grid.pitch.value();
    const double high = separation.grid.height * separation.grid.pitch.value();
    const Millimetres low = spacing_for_edge(Millimetres(8));
    separation.fades = {
        {0, 1, false,
         field_by(separation.grid, low, [&](double x, double y) { return (x / wide + y / high) / 2; })},
        {2, 1, true, field_by(separation.grid, low * 3, [&](double, double y) { return 0.95 - y / high; })}};
  });
}

// The same at a size that a small shelf does not hold: 224 by 144 mm, in panels.
inline PlanRecord record_in_panels() {
  PlanRecord plan = record(448, 288);
  plan.shelf = Shelf{{Millimetres(140), Millimetres(120)}, Millimetres(10)};
  Image<PackedLab> wanted(448, 288);
  for (std::size_t i = 0; i < wanted.size(); ++i)
    wanted[i] = to_pixel(to_lab(plan.target[i]));
  plan.panels = cut_into_panels(plan.separation, plan.layers, wanted, *plan.shelf, plan.smallest);
  set_up_stencils(plan, RepeatUse::never);
  plan.weights = weigh(plan.separation, plan.layers, plan.palette, plan.weigh_rules, 0, plan.panels.panels);
  plan.settings.push_back({"--shelf", "140x120"});
  return plan;
}

inline LinePlan two_lines() {
  LinePlan lines;
  lines.paths = {{{{4, 6}, {12, 6}}, {1, 1}, 8}, {{{12, 9}, {4, 9}, {2, 12}}, {0.5, 1.5, 1.5}, 11.6}};
  lines.length_mm = 19.6;
  lines.travel_mm = 3;
  return lines;
}

// The same with a line layer on top, and lines scratched out of its first layer.
inline PlanRecord record_with_lines(int width = 64, int height = 48) {
  PlanRecord plan = record(width, height);
  plan.layers.push_back(line_layer(plan.separation, {1, Load(0.08), 0, 0, 0}, two_lines(), {}));
  LinePlan scratched;
  scratched.paths = {{{{16, 12}, {20, 12}}, {0.8, 0.8}, 4}};
  scratched.length_mm = 4;
  scratch(plan.layers, {0}, scratched, plan.separation.grid, {});
  plan.spots = Spots(plan.layers, plan.separation.grid.width, plan.separation.grid.height);
  plan_kiln(plan);
  plan.weights = weigh(plan.separation, plan.layers, plan.palette, plan.weigh_rules);
  return plan;
}

// The spot whose points carry a label of the separation.
inline std::size_t spot_of(const PlanRecord& plan, std::uint16_t label) {
  const Image<std::uint16_t>& labels = plan.separation.label_at;
  std::size_t point = 0;
  while (labels[point] != label)
    ++point;
  return plan.spots.at()[point];
}

}  // namespace powderplan::fixture
