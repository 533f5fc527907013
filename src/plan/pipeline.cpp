#include "plan/pipeline.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <functional>
#include <utility>

#include "colour/observer.h"
#include "parallel.h"
#include "plan/base_choice.h"
#include "plan/choice_request.h"
#include "plan/firing_request.h"
#include "plan/firing_trials.h"
#include "plan/judge.h"
#include "plan/kept_results.h"
#include "plan/line_step.h"
#include "plan/plan_stencils.h"
#include "plan/plan_steps.h"
#include "plan/reaction_request.h"
#include "plan/settings.h"
#include "plan/shelf_request.h"
#include "plan/technique_request.h"
#include "problem.h"
#include "recipe/painter.h"
#include "recipe/shelf_reach.h"
#include "report/files.h"
#include "report/firing_choices.h"
#include "report/stage.h"
#include "separation/separate.h"
#include "utf8.h"
#include "version.h"

namespace powderplan {
namespace {

// More firings than this no studio plans of itself where spacers can save them.
constexpr int willing_firings = 4;

// The picture before it was fitted to the shelf is asked for by strokes at the beginning and by the verdict
// at the end. On a grid of more points than this it is let go of meanwhile and read once more: a hundredth of
// the time, for six bytes a point where most is held.
constexpr std::size_t most_points_held = 10'000'000;

// Times the steps and tells the caller where the work is.
class Steps {
 public:
  Steps(const Progress& progress, bool timed) : progress_(progress), timed_(timed) {}
  void begin(std::string step, double from, double to) {
    end();
    step_ = std::move(step);
    from_ = from;
    to_ = to;
    started_ = std::chrono::steady_clock::now();
    at(0);
  }
  void at(double share) const {
    if (progress_)
      progress_(step_, from_ + share * (to_ - from_));
  }
  void end() {
    if (timed_ && !step_.empty())
      seconds_[step_] += std::chrono::duration<double>(std::chrono::steady_clock::now() - started_).count();
    step_.clear();
  }
  [[nodiscard]] const std::map<std::string, double>& seconds() const { return seconds_; }

 private:
  const Progress& progress_;
  bool timed_;
  std::string step_;
  double from_ = 0, to_ = 0;
  std::chrono::steady_clock::time_point started_;
  std::map<std::string, double> seconds_;
};

// Whether anything is laid through stencils, so that their order decides the firings.
bool any_stencils(const SeparationRules& rules) {
  return std::any_of(rules.limits.usable.begin(), rules.limits.usable.end(),
                     [&](std::size_t powder) { return rules.fades.ways_of(powder).stencil; });
}

// Does the work; where the limits cannot be met, what other numbers of firings would cost is part of the
// remedy. Trials within the limit promised on their coarse grid what could not be kept: they are not told of.
void telling_costs(const PlanRecord& record, const std::function<void()>& work) {
  try {
    work();
  } catch (const Problem& problem) {
    std::vector<FiringTrial> trials = record.firing_trials;
    std::erase_if(trials, [&](const FiringTrial& trial) {
      return trial.firings <= record.limits.most_firings.value_or(0);
    });
    const std::string costs = costs_in_words(trials);
    if (problem.kind() != ProblemKind::infeasible || costs.empty())
      throw;
    throw Problem(problem.kind(), problem.place(), problem.wrong(), problem.remedy() + "; " + costs);
  }
}

}  // namespace

PlanRecord make_plan(const PlanRequest& request, const Progress& progress) {
  const ThreadCount threads(request.threads);
  Steps steps(progress, request.timings);
  PlanRecord record;

  record.program_version = program_version();
  record.settings = settings_in_words(request);
  steps.begin("palette", 0.00, 0.01);
  record.palette = read_shelf(request, record.inputs);
  if (request.piece_file)
    record.inputs.push_back(
        {"piece", request.piece_file->filename().string(), sha256(read_file(*request.piece_file))});
  ChoiceLimits all_limits = choice_limits(request, record.palette);
  std::vector<PowderWays> ways = powder_ways(request, record.palette);
  record.pair_prices = all_limits.pairs = pair_prices(request, record.palette);
  for (const auto& [id, price] : request.dear) {
    const std::size_t powder = place_of(record.palette, id, "--within-stock");
    all_limits.pairs.push_back({powder, powder, price});
    // Only openings are weighed by their price; a fade would lie everywhere a little.
    if (ways[powder].stencil)
      ways[powder].fade = false;
  }
  ChoiceLimits limits = all_limits;
  if (std::vector<std::size_t> kept = for_areas(limits.usable, ways); !kept.empty())
    limits.usable = std::move(kept);
  const Observer observer = observer_under(request.illuminant);
  record.backing = backing_spectrum(request.backing);
  record.view = request.view;
  record.illuminant = request.illuminant;
  record.limits = limits_of_firings(request, record, all_limits.usable);
  record.limits.rather_at_most = willing_firings;
  ask_of_choice(record.limits, ways, record.palette, limits);
  record.most_layers = request.most_layers;
  record.smallest = request.smallest;
  record.soft_edge = request.soft_edge;
  record.weigh_rules = request.weigh;
  record.paper = request.paper;

  steps.begin("picture", 0.01, 0.08);
  // Opened first: that refuses a device before a gigabyte of it is read.
  FittedRows fitted = fitted_picture(request, record.notes);
  record.inputs.insert(record.inputs.begin(),
                       {"image", request.image.filename().string(), sha256(read_file(request.image))});
  check_panel_count(request, fitted.grid);
  record.width = fitted.grid.pitch * fitted.grid.width;
  record.height = fitted.grid.pitch * fitted.grid.height;
  record.title = plain_text(request.title.empty() ? request.image.stem().string() : request.title);

  steps.begin("target", 0.08, 0.12);
  Target target = target_of(fitted);
  fitted.rows = {};  // lets go of the picture
  if (!target.bare.empty() && std::all_of(target.bare.data(), target.bare.data() + target.bare.size(),
                                          [](std::uint8_t bare) { return bare != 0; }))
    record.notes.emplace_back(
        "all of the sheet stays bare: the picture is transparent everywhere, or too thin to cover a point at "
        "this size");
  const auto painter_on = [&](const Sheet& sheet) {
    return painter_for_last_firing(request, record, sheet, observer);
  };
  steps.begin("base", 0.12, 0.2);
  const KeptResults kept(request, record.inputs);
  kept.fill(
      KeptStep::base, "",
      [&] {
        record.sheet = choose_base(request.base, record.palette, painter_on, target, request.smallest, limits,
                                   record.base_trials);
      },
      record.sheet, record.base_trials);
  const Painter painter = painter_on(record.palette.sheets[record.sheet]);
  steps.begin("reach of the shelf", 0.2, 0.25);
  const ShelfReach reach = reach_of_shelf(painter, limits.usable);
  if (request.range == RangeFit::fit)
    fit_range(target, reach);

  const KilnLimits kiln{sheet_of(record), record.palette, record.limits};
  const auto separated_by = [&](const Target& wanted, const SeparationRules& rules,
                                const std::string& which) {
    steps.begin("separation", 0.6, 0.85);
    kept.fill(
        KeptStep::separation, which + " " + fingerprint_of_rules(rules),
        [&] { record.separation = separate(painter, wanted, rules, [&](double share) { steps.at(share); }); },
        record.separation);
    steps.begin("layers", 0.85, 0.86);
    record.layers = make_layers(record.separation);
    steps.begin("stencils", 0.86, 0.88);
    hold_together(record.layers, kiln, painter, wanted, stencil_rules(request), rules.limits.most_layers);
  };
  const auto separated = [&](const Target& wanted, const ChoiceLimits& within, const std::string& which) {
    SeparationRules rules{within, request.smallest, fades_wanted(request, ways)};
    if (!any_stencils(rules))
      return separated_by(wanted, rules, which);
    steps.begin("numbers of firings", 0.27, 0.6);
    TrialsOfFirings tried = try_firings(painter, wanted, rules, stencil_rules(request), kiln, kept, which,
                                        [&](double share) { steps.at(share); });
    record.firing_trials = tried.trials;
    for (;;) {
      const auto take = trial_to_take(tried.trials, record.limits);
      if (!take && record.limits.most_firings) {
        const FiringLimits wider = without_limit(record.limits);
        const KilnLimits tried_in{kiln.sheet, kiln.palette, wider};
        record.firing_trials =
            try_firings(painter, wanted, rules, stencil_rules(request), tried_in, kept, which).trials;
        refuse_number_of_firings(record.firing_trials, record.limits);
      }
      if (!take)
        return separated_by(wanted, rules, which);
      const FiringTrial trial = tried.trials[*take];
      try {
        rules.limits.most_nests = trial.nests;
        rules.choice = tried.choices[trial.nests - 1];
        return separated_by(wanted, rules, which);
      } catch (const Problem& problem) {
        // What the coarse grid promised cannot be kept on the fine one: the next best.
        if (problem.kind() != ProblemKind::infeasible || tried.trials.size() == 1)
          throw;
        tried.trials.erase(tried.trials.begin() + static_cast<std::ptrdiff_t>(*take));
      }
    }
  };
  std::vector<std::string> notes_on_lines;
  const auto laid_in_layers = [&] {
    steps.begin("strokes", 0.25, 0.27);
    std::optional<LineStep> lines = find_lines(painter, target, request, all_limits, ways);
    if (target.wanted.size() > most_points_held)
      target.picture = {};
    if (!lines)
      separated(target, limits, "picture");
    else if (lines->only_lines)
      record.separation = bare_separation(target.grid);
    else
      separated(lines->ground, lines->ground_limits, "ground");
    if (!lines)
      return;
    lines->ground = {};
    steps.begin("lines", 0.88, 0.88);
    const bool drawn = lay_lines(painter, target, *lines, kiln, record.separation, record.layers);
    notes_on_lines = line_notes(*lines, record.layers);
    // No line helps: the whole picture is left to the other techniques.
    if (!drawn && !lines->alone)
      separated(target, limits, "picture");
  };
  telling_costs(record, [&] {
    kept.fill(KeptStep::layers, "", laid_in_layers, record.separation, record.layers, record.firing_trials,
              notes_on_lines);
    steps.begin("firings", 0.88, 0.89);
    record.firing_plan = planned_firings(record.layers, kiln, painter, target.grid);
  });
  record.notes.insert(record.notes.end(), notes_on_lines.begin(), notes_on_lines.end());
  put_in_bench_order(record.layers, record.firing_plan);
  allow_for_powder(record.firing_plan, record.layers, kiln, target.grid);
  steps.begin("weights", 0.89, 0.91);
  look_over(record, request, target);

  steps.begin("fidelity", 0.91, 1.0);
  if (request.range == RangeFit::fit && target.picture.empty())
    target.picture = picture_again(request, record.inputs.front().sha256);
  judge(record, request, painter, std::move(target), reach, limits.usable, kept);
  steps.end();
  record.seconds = steps.seconds();
  return record;
}

}  // namespace powderplan
