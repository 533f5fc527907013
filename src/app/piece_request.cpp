#include "app/piece_request.h"

#include <fmt/format.h>

#include <cstdlib>

#include "plan/flag_answer.h"
#include "plan/piece_file.h"
#include "raster/picture_file.h"
#include "report/files.h"

namespace powderplan {
namespace {

constexpr Range megapixels{0.01, static_cast<double>(highest_cap) / 1e6};
constexpr Range thread_counts{1, 256};

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
  if (const auto missing = what_is_missing(request); missing && piece.file)
    refuse_unfinished_piece(piece.text, *piece.file, *missing);
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
