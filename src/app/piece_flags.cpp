#include "app/piece_flags.h"

#include <fmt/format.h>

#include <cstdlib>

#include "app/option_help.h"
#include "plan/flag_answer.h"
#include "plan/piece_file.h"
#include "report/files.h"

namespace powderplan {
namespace {

constexpr Range megapixels{0.01, 2000};
constexpr Range thread_counts{1, 256};

std::string heading_of(std::string_view table) {
  if (table == "piece")
    return "The piece";
  if (table == "limits")
    return "Limits";
  if (table == "stencils")
    return "Stencils";
  return table == "firing" ? "Firing" : "Weighing";
}

// As the XDG base directory specification says. Nothing where there is no home.
std::optional<std::filesystem::path> usual_kept_folder() {
  const auto said = [](const char* name) -> std::filesystem::path {
    const char* const value = std::getenv(name);
    return value != nullptr ? value : "";
  };
  // A relative one is to be ignored.
  if (const std::filesystem::path cache = said("XDG_CACHE_HOME"); cache.is_absolute())
    return cache / "powderplan";
  if (const std::filesystem::path home = said("HOME"); home.is_absolute())
    return home / ".cache" / "powderplan";
  return std::nullopt;
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
      "where results are kept, so that the next plan of this picture is made sooner; none: nowhere; the "
      "folder may be "
      "deleted [your cache folder]",
      flags.kept);
}

PieceText piece_text_of(const PieceFlags& flags) {
  if (flags.piece.empty())
    return {};
  const std::filesystem::path file = FlagAnswer("--piece", flags.piece).file();
  return {file, read_text_file(file)};
}

PlanRequest request_of(const PieceFlags& flags, const PieceText& piece) {
  PlanRequest request;
  if (piece.file)
    request = parse_piece(piece.text, *piece.file);
  for (const Setting& setting : all_settings())
    if (const auto said = flags.settings.find(&setting); said != flags.settings.end())
      setting.take(FlagAnswer(std::string(setting.flag), said->second, setting.repeats), request);
  if (!flags.max_megapixels.empty())
    request.picture_limits.most_pixels = static_cast<std::uint64_t>(
        FlagAnswer("--max-megapixels", flags.max_megapixels).number(megapixels) * 1e6);
  if (!flags.threads.empty())
    request.threads = static_cast<unsigned>(FlagAnswer("--threads", flags.threads).whole(thread_counts));
  request.kept = usual_kept_folder();
  if (!flags.kept.empty()) {
    const FlagAnswer answer("--kept", flags.kept);
    request.kept = answer.text() == "none" ? std::nullopt : std::optional(answer.file());
  }
  try {
    check_together(request);
  } catch (const Problem& problem) {
    rethrow_at_its_origin(problem, flags, piece);
  }
  return request;
}

void rethrow_at_its_origin(const Problem& problem, const PieceFlags& flags, const PieceText& piece) {
  const Setting* setting = setting_of_flag(problem.place());
  if (setting != nullptr && piece.file && !flags.settings.contains(setting))
    if (const auto place = place_in_piece(piece.text, *piece.file, setting->flag))
      throw Problem(problem.kind() == ProblemKind::command_line ? ProblemKind::input : problem.kind(), *place,
                    fmt::format("[{}]: '{}': {}", setting->table, setting->key, problem.wrong()),
                    problem.remedy());
  throw;
}

}  // namespace powderplan
