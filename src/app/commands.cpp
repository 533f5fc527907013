#include "app/commands.h"

#include <fmt/format.h>

#include <string>
#include <string_view>

#include "app/option_help.h"
#include "app/own_library.h"
#include "version.h"

namespace powderplan {
namespace {

constexpr std::string_view what_it_does =
    "Plans pictures in crushed-glass powder on sheet glass, for the kiln";
constexpr std::string_view where_to_begin = R"(Begin with:
  powderplan plan heron.jpg --palette shelf.toml --width 300
  powderplan plan --help)";

}  // namespace

std::vector<Command> set_up_program(CLI::App& app, CommandOptions& said) {
  app.name("powderplan");
  app.description(std::string(what_it_does));
  set_layout(app);
  app.require_subcommand(0, 1);  // what follows a command is its own, a folder called "plan" too
  app.set_version_flag("--version", fmt::format("powderplan {}", program_version()), "show the version");
  app.footer(std::string(where_to_begin));
  const auto does = [](std::string_view library, const char* entry, const auto& options) {
    return [library, entry, &options](std::ostream& out, std::ostream& err) {
      run_entry(library, entry, options, out, err);
    };
  };
  // What is drawn only on request is asked of the library that can draw.
  const auto one_of = [](const std::vector<std::string>& asked, auto with, auto without) {
    return [&asked, with, without](std::ostream& out, std::ostream& err) {
      if (asked.empty())
        without(out, err);
      else
        with(out, err);
    };
  };
  return {
      {setup_plan(app, said.plan), does("pictures", "powderplan_plan", said.plan)},
      {setup_options(app, said.options), does("pictures", "powderplan_options", said.options)},
      {setup_palette(app, said.palette),
       one_of(said.palette.out, does("drawing", "powderplan_palette_chart", said.palette),
              does("text", "powderplan_palette", said.palette))},
      {setup_heat(app, said.heat), one_of(said.heat.plot, does("drawing", "powderplan_heat_plot", said.heat),
                                          does("text", "powderplan_heat", said.heat))},
      {setup_tile(app, said.tile), does("pictures", "powderplan_tile", said.tile)},
      {setup_fit(app, said.fit), does("pictures", "powderplan_fit", said.fit)},
      {setup_compare(app, said.compare),
       one_of(said.compare.cards, does("drawing", "powderplan_cards", said.compare),
              does("compare", "powderplan_compare", said.compare))},
      {setup_proof(app, said.proof), does("pictures", "powderplan_proof", said.proof)},
      {setup_stock(app, said.stock), does("stock", "powderplan_stock", said.stock)},
  };
}

}  // namespace powderplan
