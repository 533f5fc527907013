#include "app/program.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <functional>
#include <ostream>
#include <string>
#include <vector>

#include "app/command_line.h"
#include "app/compare_command.h"
#include "app/exit_code.h"
#include "app/fit_command.h"
#include "app/heat_command.h"
#include "app/interrupt.h"
#include "app/messages.h"
#include "app/option_help.h"
#include "app/options_command.h"
#include "app/palette_command.h"
#include "app/plan_command.h"
#include "app/proof_command.h"
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
  PlanOptions plan;
  OptionsOptions choice;
  PaletteOptions palette;
  HeatOptions heat;
  TileOptions tile;
  FitOptions fit;
  CompareOptions compare;
  ProofOptions proof;
  StockOptions stock;
  struct Command {
    const CLI::App* command;
    std::function<void()> run;
  };
  const std::vector<Command> commands{{setup_plan(app, plan), [&] { run_plan(plan, out, err); }},
                                      {setup_options(app, choice), [&] { run_options(choice, out, err); }},
                                      {setup_palette(app, palette), [&] { run_palette(palette, out); }},
                                      {setup_heat(app, heat), [&] { run_heat(heat, out); }},
                                      {setup_tile(app, tile), [&] { run_tile(tile, out); }},
                                      {setup_fit(app, fit), [&] { run_fit(fit, out); }},
                                      {setup_compare(app, compare), [&] { run_compare(compare, out, err); }},
                                      {setup_proof(app, proof), [&] { run_proof(proof, out); }},
                                      {setup_stock(app, stock), [&] { run_stock(stock, out); }}};
  if (const auto answer = parse_command_line(app, words)) {
    out << *answer;
    return exit_done;
  }
  for (const Command& one : commands) {
    if (one.command->parsed()) {
      one.run();
      return exit_done;
    }
  }
  std::string names;
  for (const Command& one : commands)
    names += (names.empty() ? "" : &one == &commands.back() ? " or " : ", ") + one.command->get_name();
  out << app.help();
  throw Problem(ProblemKind::command_line, "command line", "no command is given", "say " + names);
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
