#include "app/options_command.h"

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

#include "app/interrupt.h"
#include "app/piece_request.h"
#include "app/progress.h"
#include "parallel.h"
#include "plan/flag_answer.h"
#include "plan/options.h"
#include "problem.h"
#include "report/bench_numbers.h"
#include "report/options_files.h"
#include "utf8.h"

namespace powderplan {
namespace {

std::filesystem::path folder_of(const OptionsOptions& options, const PlanRequest& request) {
  if (!options.out.empty())
    return FlagAnswer("--out", options.out).file();
  std::filesystem::path name = request.image.stem();
  name += "-options";
  return name;
}

std::vector<Trying> tried_by(const OptionsOptions& options) {
  if (options.tried.empty())
    return {trying_of(std::string(usual_tries))};
  std::vector<Trying> tried;
  for (const std::string& said : options.tried)
    tried.push_back(trying_of(said));
  return tried;
}

// As they are typed for the plan itself; the base too, where the program chose it.
std::string flags_of(const PlanOption& option) {
  std::string flags;
  bool base = false;
  for (const SettingText& setting : option.changed) {
    const bool is_base = setting.flag == "--base";
    const std::string& value = is_base && option.plan ? option.plan->base.id : setting.value;
    flags += fmt::format("{}{} {}", flags.empty() ? "" : " ", setting.flag, value);
    base = base || is_base;
  }
  if (!base && option.plan)
    flags += fmt::format(" --base {}", option.plan->base.id);
  return flags;
}

// The options as a table for the terminal.
std::string options_text(const std::vector<PlanOption>& options) {
  std::size_t width = 0;
  for (const PlanOption& option : options)
    width = std::max(width, flags_of(option).size());
  std::string text = fmt::format("      {:<{}}  error  afar  firings  stencils  to cut\n", "", width);
  for (std::size_t i = 0; i < options.size(); ++i) {
    const PlanOption& option = options[i];
    text += fmt::format("  {:>2}  {:<{}}", i + 1, flags_of(option), width);
    if (option.plan)
      text += fmt::format(
          "  {:>5}  {:>4}  {:>7}  {:>8}  {}\n", shown_difference(option.plan->fidelity.mean_de00),
          shown_difference(option.plan->fidelity.seen_mean_de00), option.plan->firings,
          option.plan->effort.stencils,
          option.plan->effort.stencils == 0 ? "nothing"
                                            : shown_minutes(std::max(1.0, option.plan->effort.cut_minutes)));
    else
      text += fmt::format("  cannot be made: {}\n", option.refused);
  }
  return text;
}

}  // namespace

void run_options(const OptionsOptions& options, std::ostream& out, std::ostream& err) {
  const PieceText piece = piece_text_of(options.piece);
  const std::vector<Trying> tried = tried_by(options);
  // What is tried need not be given besides.
  PieceFlags flags = options.piece;
  for (const Trying& one : tried)
    if (!flags.settings.emplace(one.setting, std::vector{one.values.front()}).second)
      throw Problem(ProblemKind::command_line, std::string(one.setting->flag),
                    "is given, and to be tried too", "say its values in one place");
  const PlanRequest request = request_of(flags, piece);
  const std::filesystem::path folder = folder_of(options, request);
  std::vector<PlanOption> looks;
  std::string note;
  try {
    std::vector<Variant> variants = variants_of(request, tried);
    const Millimetres pitch = pitch_to_compare(variants);
    for (Variant& variant : variants)
      variant.request.pitch = pitch;
    const OwnPlace place = looked_at([&] { return check_options_folder(folder, options.replace); });
    const ThreadCount threads(request.threads);
    ProgressLine progress(err, is_terminal(err));
    looks = look_at(variants, [&](std::string_view step, double share) { progress(step, 0.98 * share); });
    if (std::none_of(looks.begin(), looks.end(), [](const PlanOption& look) { return look.plan; }))
      throw Problem(ProblemKind::infeasible, "--try",
                    fmt::format("none of them can be made: {}", looks.front().refused), "allow more");
    progress("drawing the board", 0.98);
    const SignalGuard guard;
    note = write_options(looks, place, SignalGuard::check);
  } catch (const Problem& problem) {
    rethrow_at_its_origin(problem, options.piece, piece);
  }
  out << options_text(looks) << "\n";
  if (!note.empty())
    out << fmt::format("Note: {}.\n", note);
  out << fmt::format("Look at {}; then make the plan that you like with its flags.\n",
                     plain_text((folder / "options.png").string()));
}

}  // namespace powderplan
