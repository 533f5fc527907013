#include "app/palette_flags.h"

#include <string_view>

#include "app/option_help.h"

namespace powderplan {
namespace {

constexpr std::string_view example = R"(Example:
  powderplan palette shelf.toml --out shelf.png

Two files are checked as one shelf: glasses of two expansion families are refused, because they
crack each other.)";

}  // namespace

CLI::App* setup_palette(CLI::App& app, PaletteOptions& options) {
  CLI::App* command = app.add_subcommand("palette", "Checks a palette, lists it, and draws its chart");
  add_text(*command, "FILE", "", "palette file; several are checked as one shelf", options.files)
      ->expected(1, -1)
      ->allow_extra_args();
  add_text(*command, "--out", "PNG", "draw the fired swatches over white and black into this file",
           options.out);
  command->add_flag("--replace", options.replace, "replace the chart that is there already");
  command->footer(std::string(example));
  return command;
}

}  // namespace powderplan
