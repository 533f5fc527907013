#include "app/heat_flags.h"

#include <string_view>

#include "app/option_help.h"

namespace powderplan {
namespace {

constexpr std::string_view example = R"(Examples:
  powderplan heat schedule.toml --palette shelf.toml --plot schedule.svg
  powderplan heat --segment 300,615,20 --segment 300,660,10 --segment 500,515,40 --segment 100,50,0

A schedule file says the same, once for each leg:
  [[segment]]
  rate_c_per_h = 300
  to_c = 660
  hold_min = 10

Computed from the points of the glass. The glass maker's chart, the kiln's manual and a test come first.)";

}  // namespace

CLI::App* setup_heat(CLI::App& app, HeatOptions& options) {
  CLI::App* command = app.add_subcommand("heat", "Says what a kiln schedule makes of powder");
  add_text(*command, "FILE", "", "schedule file (TOML)", options.file);
  add_text(*command, "--segment", "RATE,TO,HOLD",
           "one leg: \u00b0C per hour, \u00b0C, minutes; once for each", options.legs);
  add_text(*command, "--palette", "FILE", "shelf whose glass and grains count; may be given several times",
           options.palettes);
  add_text(*command, "--thickness", "MM", "of the glass, sheet and fused powder [3]", options.thickness);
  add_text(*command, "--grain", "MM", "grain size to look at, instead of those of the shelf or of sieves",
           options.grains);
  add_text(*command, "--faces", "one|both", "heated through [one]", options.faces);
  add_text(*command, "--plot", "FILE", "draw it into this file, .svg or .png", options.plot);
  command->add_flag("--replace", options.replace, "replace the plot that is there already");
  command->footer(std::string(example));
  return command;
}

}  // namespace powderplan
