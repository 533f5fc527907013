#include "app/program.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <ostream>
#include <string>
#include <vector>

#include "app/command_line.h"
#include "app/exit_code.h"
#include "app/fit_command.h"
#include "app/heat_command.h"
#include "app/interrupt.h"
#include "app/messages.h"
#include "app/option_help.h"
#include "app/palette_command.h"
#include "app/plan_command.h"
#include "app/stock_command.h"
#include "app/tile_command.h"
#include "version.h"

namespace powderplan {
namespace {

constexpr std::string_view what_it_does =
    "Plans pictures in crushed-glass powder on sheet glass, for the kiln";
constexpr std::string_view where_to_begin = R"(Begin with:
  powderplan plan heron.jpg --palette shelf.toml --width 300
  powderplan plan --help)";

int run_checked(const std::vector<std::string>& words, std::ostream& out, std::ostream& err) {
  CLI::App app{std::string(what_it_does), "powderplan"};
  set_layout(app);
  app.require_subcommand(0, 1);  // what follows a command is its own, a folder called "plan" too
  app.set_version_flag("--version", fmt::format("powderplan {}", program_version()), "show the version");
  app.footer(std::string(where_to_begin));
  PlanOptions plan_options;
  PaletteOptions palette_options;
  const CLI::App* const plan = setup_plan(app, plan_options);
  HeatOptions heat_options;
  const CLI::App* const palette = setup_palette(app, palette_options);
  const CLI::App* const heat = setup_heat(app, heat_options);
  TileOptions tile_options;
  const CLI::App* const tile = setup_tile(app, tile_options);
  FitOptions fit_options;
  const CLI::App* const fit = setup_fit(app, fit_options);
  StockOptions stock_options;
  const CLI::App* const stock = setup_stock(app, stock_options);

  if (const auto answer = parse_command_line(app, words)) {
    out << *answer;
    return exit_done;
  }
  if (plan->parsed())
    run_plan(plan_options, out, err);
  else if (palette->parsed())
    run_palette(palette_options, out);
  else if (heat->parsed())
    run_heat(heat_options, out);
  else if (tile->parsed())
    run_tile(tile_options, out);
  else if (fit->parsed())
    run_fit(fit_options, out);
  else if (stock->parsed())
    run_stock(stock_options, out);
  else {
    out << app.help();
    throw Problem(ProblemKind::command_line, "command line", "no command is given",
                  "say plan, palette, heat, tile, fit or stock");
  }
  return exit_done;
}

}  // namespace

int run(int argc, const char* const* argv, std::ostream& out, std::ostream& err) {
  try {
    const int code = run_checked(
        argc > 1 ? std::vector<std::string>(argv + 1, argv + argc) : std::vector<std::string>(), out, err);
    if (!out.flush())
      throw Problem(ProblemKind::other, "standard output", "cannot be written", "check where it goes");
    return code;
  } catch (const Interrupted& interrupted) {
    return exit_by_signal + interrupted.signal();
  } catch (const std::exception& thrown) {
    const Problem problem = problem_of(thrown);
    err << line_of(problem) << std::endl;
    return exit_code(problem.kind());
  }
}

}  // namespace powderplan
