#include "app/program.h"

#include <fmt/format.h>

#include <CLI/App.hpp>
#include <functional>
#include <ostream>
#include <string>
#include <vector>

#include "app/command_line.h"
#include "app/compare_flags.h"
#include "app/exit_code.h"
#include "app/fit_flags.h"
#include "app/heat_flags.h"
#include "app/interrupt.h"
#include "app/messages.h"
#include "app/option_help.h"
#include "app/options_flags.h"
#include "app/own_library.h"
#include "app/palette_flags.h"
#include "app/plan_flags.h"
#include "app/proof_flags.h"
#include "app/stock_flags.h"
#include "app/tile_flags.h"
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
  // What is drawn only on request is asked of the library that can draw.
  const auto does = [&](std::string_view library, const char* entry, const auto& options) {
    return [library, entry, &options, &out, &err] { run_entry(library, entry, options, out, err); };
  };
  const std::vector<Command> commands{
      {setup_plan(app, plan), does("pictures", "powderplan_plan", plan)},
      {setup_options(app, choice), does("pictures", "powderplan_options", choice)},
      {setup_palette(app, palette),
       [&] {
         if (palette.out.empty())
           run_entry("text", "powderplan_palette", palette, out, err);
         else
           run_entry("drawing", "powderplan_palette_chart", palette, out, err);
       }},
      {setup_heat(app, heat),
       [&] {
         if (heat.plot.empty())
           run_entry("text", "powderplan_heat", heat, out, err);
         else
           run_entry("drawing", "powderplan_heat_plot", heat, out, err);
       }},
      {setup_tile(app, tile), does("pictures", "powderplan_tile", tile)},
      {setup_fit(app, fit), does("pictures", "powderplan_fit", fit)},
      {setup_compare(app, compare),
       [&] {
         if (compare.cards.empty())
           run_entry("compare", "powderplan_compare", compare, out, err);
         else
           run_entry("drawing", "powderplan_cards", compare, out, err);
       }},
      {setup_proof(app, proof), does("pictures", "powderplan_proof", proof)},
      {setup_stock(app, stock), does("stock", "powderplan_stock", stock)}};
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
