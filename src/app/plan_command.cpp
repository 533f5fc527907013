#include "app/plan_command.h"

#include <fmt/format.h>

#include <optional>
#include <ostream>

#include "app/interrupt.h"
#include "app/option_help.h"
#include "app/progress.h"
#include "app/summary.h"
#include "parallel.h"
#include "plan/flag_answer.h"
#include "plan/piece_file.h"
#include "plan/pipeline.h"
#include "plan/stay_in_stock.h"
#include "problem.h"
#include "report/files.h"
#include "report/plan_folder.h"

namespace powderplan {
namespace {

constexpr Range megapixels{0.01, 2000};
constexpr Range thread_counts{1, 256};
constexpr std::string_view run_group = "This run";

constexpr std::string_view examples = R"(Examples:
  powderplan plan heron.jpg --palette shelf.toml --width 300 --layers 8
  powderplan plan --piece examples/avocet-window/piece.toml --out avocet-plan

A piece file holds the same settings in TOML; a flag wins over its key:
  [piece]   image, palette, width_mm, height_mm, title, crop, fit, range, base, view, light,
            backing, seen_from_mm
  [limits]  layers, firings, powders, powders_at_a_spot, smallest_mm, load, least_layer_load,
            pitch_mm, use, without, order, techniques, lay, lay_not, react, soft_edge_mm
  [stencils] bridge_mm, border_mm, cut_tolerance_mm, paper, repeats
  [firing]  finish, between, raised, in_firing, finish_of
  [weigh]   sweep_margin_mm, within_stock, comes_back

Exit codes: 0 done, 2 the command line, 3 a picture, palette or piece file, 4 the limits cannot
be met together, 1 anything else.)";

std::string heading_of(std::string_view table) {
  if (table == "piece")
    return "The piece";
  if (table == "limits")
    return "Limits";
  if (table == "stencils")
    return "Stencils";
  return table == "firing" ? "Firing" : "Weighing";
}

// A complaint about a flag that was never typed is one about the piece file. To be called while `problem` is
// being handled.
[[noreturn]] void rethrow_at_its_origin(const Problem& problem, const PlanOptions& options,
                                        const PlanRequest& request, const std::string& piece_text) {
  const Setting* setting = setting_of_flag(problem.place());
  if (setting != nullptr && request.piece_file && !options.settings.contains(setting))
    if (const auto place = place_in_piece(piece_text, *request.piece_file, setting->flag))
      throw Problem(problem.kind() == ProblemKind::command_line ? ProblemKind::input : problem.kind(), *place,
                    fmt::format("[{}]: '{}': {}", setting->table, setting->key, problem.wrong()),
                    problem.remedy());
  throw;
}

std::optional<std::filesystem::path> piece_file_of(const PlanOptions& options) {
  if (options.piece.empty())
    return std::nullopt;
  return FlagAnswer("--piece", options.piece).file();
}

}  // namespace

CLI::App* setup_plan(CLI::App& app, PlanOptions& options) {
  CLI::App* command = app.add_subcommand("plan", "Makes the plan of a piece from a picture and a palette");
  const PlanRequest usual;
  for (const Setting& setting : all_settings()) {
    const std::string shown = setting.shown(usual);
    const std::string help(setting.help);
    add_text(
        *command, setting.flag, setting.value, shown.empty() ? help : fmt::format("{} [{}]", help, shown),
        [&options, &setting](std::vector<std::string> said) { options.settings[&setting] = std::move(said); })
        ->group(heading_of(setting.table));
  }
  const auto add = [&](const char* flag, const char* value, std::string help,
                       std::vector<std::string>& into) {
    add_text(*command, flag, value, std::move(help), into)->group(std::string(run_group));
  };
  add("--piece", "FILE", "read the settings from a piece file", options.piece);
  add("--out", "FOLDER", "where the plan goes [the picture's name and -plan]", options.out);
  command->add_flag("--replace", options.replace, "replace the plan that is there already")
      ->group(std::string(run_group));
  add("--max-megapixels", "N",
      fmt::format("refuse larger pictures [{}]", static_cast<double>(usual.picture_limits.most_pixels) / 1e6),
      options.max_megapixels);
  add("--threads", "N", "at most so many at a time; the plan is the same with any [all cores]",
      options.threads);
  command->add_flag("--timings", options.timings, "put the seconds of each step into the plan")
      ->group(std::string(run_group));
  command->footer(std::string(examples));
  return command;
}

PlanRequest request_of(const PlanOptions& options, const std::string& piece_text) {
  PlanRequest request;
  if (const auto file = piece_file_of(options))
    request = parse_piece(piece_text, *file);
  for (const Setting& setting : all_settings())
    if (const auto said = options.settings.find(&setting); said != options.settings.end())
      setting.take(FlagAnswer(std::string(setting.flag), said->second, setting.repeats), request);
  if (!options.max_megapixels.empty())
    request.picture_limits.most_pixels = static_cast<std::uint64_t>(
        FlagAnswer("--max-megapixels", options.max_megapixels).number(megapixels) * 1e6);
  if (!options.threads.empty())
    request.threads = static_cast<unsigned>(FlagAnswer("--threads", options.threads).whole(thread_counts));
  request.timings = options.timings;
  try {
    check_together(request);
  } catch (const Problem& problem) {
    rethrow_at_its_origin(problem, options, request, piece_text);
  }
  return request;
}

std::filesystem::path plan_folder_of(const PlanOptions& options, const PlanRequest& request) {
  if (!options.out.empty())
    return FlagAnswer("--out", options.out).file();
  std::filesystem::path name = request.image.stem();
  name += "-plan";
  return name;
}

void run_plan(const PlanOptions& options, std::ostream& out, std::ostream& err) {
  const auto piece = piece_file_of(options);
  const std::string piece_text = piece ? read_text_file(*piece) : std::string();
  const PlanRequest request = request_of(options, piece_text);
  const std::filesystem::path folder = plan_folder_of(options, request);
  {
    const SignalGuard guard;
    check_plan_folder(folder, options.replace);  // before the minutes of work
    SignalGuard::check();
  }

  const ThreadCount threads(request.threads);
  PlanRecord record;
  std::vector<std::string> folder_notes;
  try {
    ProgressLine progress(err, is_terminal(err));
    record = request.within_stock ? make_plan_within_stock(request, std::ref(progress))
                                  : make_plan(request, std::ref(progress));
    const SignalGuard guard;
    progress("writing the plan", 0.95);
    folder_notes = write_plan_folder(record, folder, options.replace, SignalGuard::check);
  } catch (const Problem& problem) {
    rethrow_at_its_origin(problem, options, request, piece_text);
  }
  record.notes.insert(record.notes.end(), folder_notes.begin(), folder_notes.end());
  out << plan_summary(record, folder) << std::flush;
}

}  // namespace powderplan
