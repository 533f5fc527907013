#include "app/piece_flags.h"

#include <fmt/format.h>

#include "app/option_help.h"

namespace powderplan {
namespace {

std::string heading_of(std::string_view table) {
  if (table == "piece")
    return "The piece";
  if (table == "limits")
    return "Limits";
  if (table == "stencils")
    return "Stencils";
  return table == "firing" ? "Firing" : "Weighing";
}

}  // namespace

void add_piece_flags(CLI::App& command, PieceFlags& flags) {
  const PlanRequest usual;
  for (const Setting& setting : all_settings()) {
    const std::string shown = setting.shown(usual);
    const std::string help(setting.help);
    add_text(
        command, setting.flag, setting.value, shown.empty() ? help : fmt::format("{} [{}]", help, shown),
        [&flags, &setting](std::vector<std::string> said) { flags.settings[&setting] = std::move(said); })
        ->group(heading_of(setting.table));
  }
  const auto add = [&](const char* flag, const char* value, std::string help,
                       std::vector<std::string>& into) {
    add_text(command, flag, value, std::move(help), into)->group(std::string(run_group));
  };
  add("--piece", "FILE", "read the settings from a piece file", flags.piece);
  add("--max-megapixels", "N",
      fmt::format("refuse larger pictures [{}]", static_cast<double>(usual.picture_limits.most_pixels) / 1e6),
      flags.max_megapixels);
  add("--threads", "N", "at most so many at a time; the result is the same with any [all cores]",
      flags.threads);
  add("--kept", "FOLDER",
      "where results are kept for the next plan of this picture; none: nowhere [your cache folder]",
      flags.kept);
}

}  // namespace powderplan
