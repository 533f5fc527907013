#include "app/compare_command.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <ostream>
#include <variant>

#include "app/interrupt.h"
#include "app/photo_flags.h"
#include "app/progress.h"
#include "app/summary.h"
#include "app/usual_flags.h"
#include "fired/compare_piece.h"
#include "parallel.h"
#include "photo/card_photo.h"
#include "photo/piece_card.h"
#include "plan/flag_answer.h"
#include "plan/replan.h"
#include "problem.h"
#include "raster/read_photo.h"
#include "report/bench_numbers.h"
#include "report/comparison_files.h"
#include "report/files.h"
#include "report/inside_folder.h"
#include "report/plan_folder.h"
#include "report/plan_reader.h"
#include "report/plan_totals.h"
#include "report/stage.h"
#include "report/whole_folder.h"
#include "utf8.h"
#include "weigh/real_weights.h"

namespace powderplan {
namespace {

constexpr Range firing_counts{1, 1000};
constexpr Range thread_counts{1, 256};
constexpr std::size_t worst_told = 5;

// The photo brought to the plan's own place and light.
SeenPiece see(const CompareOptions& options, const PlanRecord& plan, std::vector<std::string>& notes) {
  const std::string file = FlagAnswer("PHOTO", options.photo).text();
  PhotoRules rules = photo_rules(options.marks, options.reference);
  if (!options.corners.empty()) {
    if (!options.marks.empty())
      throw Problem(ProblemKind::command_line, "--corners", "and --marks are both given",
                    "give the marks of the corner cards, or the corners of the piece");
    rules.marks = four_places("--corners", options.corners);
  }
  const CardLayout card = options.corners.empty() ? piece_card(plan.width, plan.height)
                                                  : piece_card_without_marks(plan.width, plan.height);
  const Picture picture = read_photo(file);
  const CardPhoto photo(picture, card, rules, file);
  notes.insert(notes.end(), picture.notes.begin(), picture.notes.end());
  notes.insert(notes.end(), photo.notes().begin(), photo.notes().end());
  const Millimetres pitch = comparison_pitch(plan);
  const BoxMm all{0, 0, plan.width.value(), plan.height.value()};
  // It lies on the white paper, whatever wall or window it is for.
  const auto* paper = std::get_if<PaperReference>(&rules.reference);
  const double under = (paper != nullptr ? *paper : PaperReference{}).reflects;
  SeenPiece seen{
      {pitch, 0, 0}, photo.flattened(all, pitch), photo.untrusted(all, pitch), Spectrum::constant(under)};
  seen.grid.width = seen.colour.width();
  seen.grid.height = seen.colour.height();
  return seen;
}

// What was really used of each layer, against what the plan said.
Weighed weighed(const CompareOptions& options, const std::filesystem::path& plan_folder) {
  if (options.weights.empty())
    return {};
  const std::string file = FlagAnswer("--weights", options.weights).text();
  const std::filesystem::path plan_file = file_inside(plan_folder, "plan.json");
  const std::string plan_text = read_text_file(plan_file);
  const PlanTotals plan = parse_plan_totals(plan_text, plan_file.string());
  Weighed ratios(plan.layers.size());
  for (const auto& [index, grams] : parse_real_weights(read_text_file(file), file, sha256(plan_text))) {
    const auto at = static_cast<std::size_t>(index - 1);
    if (at >= ratios.size())
      throw Problem(ProblemKind::input, file,
                    fmt::format("the plan has {} layers, and no layer {}", ratios.size(), index),
                    "check its number on the worksheet");
    // Nothing used is no coat at all, and no weight to compare.
    if (grams >= least_shown && plan.layers[at].used >= least_shown)
      ratios[at] = grams / plan.layers[at].used;
  }
  return ratios;
}

std::size_t firings_done(const CompareOptions& options, const PlanRecord& plan) {
  const std::size_t all = plan.firing_plan.firings.size();
  if (options.after_firing.empty())
    return all;
  const FlagAnswer answer("--after-firing", options.after_firing);
  const auto done = static_cast<std::size_t>(answer.whole(firing_counts));
  if (done > all)
    answer.fail(fmt::format("the plan has {} firings", all), fmt::format("give 1 to {}", all));
  return done;
}

}  // namespace

std::string comparison_text(const PlanRecord& record, const PieceComparison& comparison) {
  std::string text = fmt::format(
      "{}, after firing {} of {}: differs from the plan by {:.1f} in the mean, 95 % of it by less than "
      "{:.1f} "
      "(CIEDE2000)\n\n",
      record.title, comparison.firings_done, record.firing_plan.firings.size(), comparison.mean_de00,
      comparison.p95_de00);
  std::size_t width = 0;
  for (const PowderFinding& finding : comparison.powders)
    width = std::max(width, record.palette.powders[finding.powder].id.size());
  for (const PowderFinding& finding : comparison.powders) {
    text += fmt::format("  {:<{}}  \u00d7 {:.2f}  {}\n", record.palette.powders[finding.powder].id, width,
                        finding.factor, in_words(finding));
    if (finding.weighed)
      text += fmt::format("  {:<{}}          {}\n", "", width, weighed_in_words(finding));
  }
  text += fmt::format("  with these loads {:.1f} would be left\n\n", comparison.explained_de00);
  for (const LayerFinding& layer : comparison.layers)
    text += fmt::format("  layer {:>2}  {:<{}}  {:>4.1f} off, {:.1f} L* {}\n", layer.layer + 1,
                        powder_of(record, record.layers[layer.layer]).id, width, layer.mean_de00,
                        std::abs(layer.lighter), layer.lighter < 0 ? "darker" : "lighter");
  const std::vector<WorstRegion> worst = worst_regions(comparison, worst_told);
  for (const WorstRegion& region : worst) {
    const std::size_t layer = comparison.layers[region.layer].layer;
    const Region& planned = record.layers[layer].regions[static_cast<std::size_t>(region.region.id - 1)];
    text += fmt::format("{}region {} of layer {} at {:.0f}, {:.0f} mm: {:.1f} off\n",
                        &region == &worst.front() ? "\n  off most: " : "            ", region.region.id,
                        layer + 1, planned.centre.x, planned.centre.y, region.region.mean_de00);
  }
  return text;
}

void run_compare(const CompareOptions& options, std::ostream& out, std::ostream& err) {
  if (!options.paper.empty())
    throw Problem(ProblemKind::command_line, "--paper", "is of the corner cards, and none are asked for",
                  "give it with --cards");
  need(options.photo, "PHOTO", "name the photo of the piece; --cards writes the cards to lay round it");
  need(options.plan, "--plan", "name the folder of the plan");
  need(options.palettes, "--palette", "name the file of your shelf");
  const std::filesystem::path photo = FlagAnswer("PHOTO", options.photo).file();
  std::filesystem::path folder = photo.stem();
  folder += "-compared";
  if (!options.out.empty())
    folder = FlagAnswer("--out", options.out).file();
  std::optional<std::filesystem::path> rest;
  if (!options.replan.empty())
    rest = FlagAnswer("--replan", options.replan).file();
  if (rest && full_folder_path(*rest) == full_folder_path(folder))
    throw Problem(ProblemKind::command_line, "--replan",
                  fmt::format("would go where the comparison goes, to {}", folder.string()),
                  "give the new plan a folder of its own");
  const OwnPlace place = looked_at([&] { return check_comparison_folder(folder, options.replace); });
  std::optional<OwnPlace> rest_place;
  if (rest)
    rest_place.emplace(looked_at([&] { return check_plan_folder(*rest, options.replace); }));
  const unsigned most_threads =
      options.threads.empty()
          ? 0
          : static_cast<unsigned>(FlagAnswer("--threads", options.threads).whole(thread_counts));
  const ThreadCount threads(most_threads);
  const std::filesystem::path plan_folder = FlagAnswer("--plan", options.plan).file();
  ProgressLine progress(err, is_terminal(err));
  progress("reading the plan", 0);
  const PlanRecord plan = read_plan(plan_folder, shelf_in(options.palettes));
  const std::size_t done = firings_done(options, plan);
  const Weighed scale = weighed(options, plan_folder);
  if (rest && done == plan.firing_plan.firings.size())
    throw Problem(ProblemKind::command_line, "--replan", "there is no firing still to come",
                  "say which firing the photo was taken after with --after-firing");
  PlanRequest request;
  if (rest) {
    request = request_of(plan, (plan_folder / "plan.json").string());
    request.threads = most_threads;
  }
  progress("reading the photo", 0.05);
  std::vector<std::string> notes;
  const SeenPiece seen = see(options, plan, notes);
  progress("comparing", 0.2);
  const PieceComparison comparison = compare_piece(plan, done, seen, scale);

  std::optional<PlanRecord> anew;
  if (rest)
    anew = replan(request, plan, {done, comparison.strength, comparison.left},
                  [&](std::string_view step, double share) { progress(step, 0.4 + 0.5 * share); });
  progress("writing", 0.95);
  const SignalGuard guard;
  if (anew)
    for (std::string& note : write_plan_folder(*anew, *rest_place, SignalGuard::check))
      anew->notes.push_back(std::move(note));
  if (const std::string note =
          write_comparison(plan, comparison, photo.filename().string(), notes, place, SignalGuard::check);
      !note.empty())
    notes.push_back(note);
  out << comparison_text(plan, comparison);
  for (const std::string& note : notes)
    out << fmt::format("\nNote: {}.", note);
  out << fmt::format("{}The comparison is in {}.\n", notes.empty() ? "\n" : "\n\n",
                     plain_text(folder.string()));
  if (anew)
    out << "\n" << plan_summary(*anew, *rest);
}

}  // namespace powderplan
