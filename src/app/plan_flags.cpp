#include "app/plan_flags.h"

#include <string_view>

#include "app/option_help.h"

namespace powderplan {
namespace {

constexpr std::string_view examples = R"(Examples:
  powderplan plan heron.jpg --palette shelf.toml --width 300 --layers 8
  powderplan plan --piece examples/avocet-window/piece.toml --out avocet-plan

A piece file holds the same settings in TOML; a flag wins over its key:
  [piece]   image, palette, width_mm, height_mm, title, crop, fit, range, base, view, light,
            backing, seen_from_mm
  [limits]  layers, firings, powders, powders_at_a_spot, smallest_mm, load, least_layer_load,
            pitch_mm, use, without, order, techniques, lay, lay_not, react, soft_edge_mm
  [stencils] bridge_mm, border_mm, cut_tolerance_mm, paper, repeats
  [firing]  finish, between, raised, in_firing, finish_of, shelf, shelf_margin_mm
  [weigh]   sweep_margin_mm, within_stock, comes_back

Exit codes: 0 done, 2 the command line, 3 a picture, palette or piece file, 4 the limits cannot
be met together, 1 anything else.)";

}  // namespace

CLI::App* setup_plan(CLI::App& app, PlanOptions& options) {
  CLI::App* command = app.add_subcommand("plan", "Makes the plan of a piece from a picture and a palette");
  add_piece_flags(*command, options.piece);
  const std::string group(run_group);
  add_text(*command, "--out", "FOLDER", "where the plan goes [the picture's name and -plan]", options.out)
      ->group(group);
  command->add_flag("--replace", options.replace, "replace the plan that is there already")->group(group);
  command->add_flag("--timings", options.timings, "put the seconds of each step into the plan")->group(group);
  command->footer(std::string(examples));
  return command;
}

}  // namespace powderplan
