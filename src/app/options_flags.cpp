#include "app/options_flags.h"

#include <fmt/format.h>

#include <string_view>

#include "app/option_help.h"

namespace powderplan {
namespace {

constexpr std::string_view examples = R"(Examples:
  powderplan options heron.jpg --palette shelf.toml --width 300
  powderplan options heron.jpg --palette shelf.toml --width 300 --try layers=6,8 --try base=white,clear

All the settings of a piece stand here as for plan; --try names one of them without its dashes, and the
values to compare. Several --try make every combination. The plans are made on a coarser grid, so that
they come sooner: for the one that you like, say plan in place of options, and its flags in place of --try.)";

}  // namespace

CLI::App* setup_options(CLI::App& app, OptionsOptions& options) {
  CLI::App* command =
      app.add_subcommand("options", "Compares plans that differ in a few settings, on one board");
  add_piece_flags(*command, options.piece);
  const std::string group(run_group);
  add_text(*command, "--try", "FLAG=A,B,...",
           fmt::format("a setting and the values to compare; again for others [{}]", usual_tries),
           options.tried)
      ->group(group);
  add_text(*command, "--out", "FOLDER", "where the board goes [the picture's name and -options]", options.out)
      ->group(group);
  command->add_flag("--replace", options.replace, "replace the board that is there already")->group(group);
  command->footer(std::string(examples));
  return command;
}

}  // namespace powderplan
