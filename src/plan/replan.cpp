#include "plan/replan.h"

#include <fmt/format.h>

#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "parallel.h"
#include "plan/choice_request.h"
#include "plan/flag_answer.h"
#include "plan/judge.h"
#include "plan/plan_stencils.h"
#include "plan/plan_steps.h"
#include "plan/reaction_request.h"
#include "plan/settings.h"
#include "plan/technique_request.h"
#include "problem.h"
#include "report/stage.h"
#include "separation/separate_on.h"
#include "version.h"

namespace powderplan {
namespace {

Target target_from(const PlanRecord& planned) {
  const Grid& grid = planned.separation.grid;
  Target target{grid, Image<PackedLab>(grid.width, grid.height), {}, planned.bare};
  for (std::size_t i = 0; i < target.wanted.size(); ++i)
    target.wanted[i] = to_pixel(to_lab(planned.target[i]));
  return target;
}

std::vector<bool> lying(const PlanRecord& planned, std::size_t firings_done) {
  std::vector<bool> lies;
  for (const LayerPlace& place : planned.firing_plan.places)
    lies.push_back(place.firing < firings_done);
  return lies;
}

void refuse_what_cannot_be(const PlanRecord& planned, const PieceAsItIs& piece) {
  const std::size_t firings = planned.firing_plan.firings.size();
  if (piece.firings_done == 0 || piece.firings_done >= firings)
    throw Problem(ProblemKind::infeasible, "replanning",
                  fmt::format("after firing {} of {} nothing is left to plan", piece.firings_done, firings),
                  "there must be a firing that is done, and one still to come");
  if (piece.firings_done < planned.firings_done)
    throw Problem(ProblemKind::infeasible, "replanning",
                  fmt::format("firing {} of this plan is behind the piece already", planned.firings_done),
                  "name the plan that came before it, or a later firing");
  for (std::size_t i = 0; i < planned.layers.size(); ++i) {
    const Layer& layer = planned.layers[i];
    const bool line = layer.technique == Technique::line;
    if (planned.firing_plan.places[i].firing >= piece.firings_done && (line || layer.scratched))
      throw Problem(ProblemKind::infeasible, "replanning",
                    fmt::format("layer {} is {} by hand, and lines are not planned anew", i + 1,
                                line ? "drawn" : "scratched"),
                    "go on as planned, or plan the piece again from the picture");
  }
}

// What lies, by nest and step; a layer that was split in two lies where either part does.
std::vector<LaidLayer> laid_layers(const PlanRecord& planned, const PieceAsItIs& piece) {
  const std::vector<bool> lies = lying(planned, piece.firings_done);
  std::vector<LaidLayer> laid;
  for (std::size_t i = 0; i < planned.layers.size(); ++i) {
    if (!lies[i])
      continue;
    const Layer& layer = planned.layers[i];
    const auto step = static_cast<std::size_t>(layer.step);
    auto at = std::find_if(laid.begin(), laid.end(),
                           [&](const LaidLayer& l) { return l.nest == layer.nest && l.step == step; });
    if (at == laid.end())
      at = laid.insert(laid.end(), {layer.nest, step, piece.strength[i],
                                    Image<std::uint8_t>(layer.amount.width(), layer.amount.height(), 0)});
    for (std::size_t p = 0; p < layer.amount.size(); ++p)
      at->there[p] = at->there[p] != 0 || layer.amount[p] != 0 ? 1 : 0;
  }
  return laid;
}

Image<LabPixel> on_grid(const Image<LabPixel>& left, const Grid& grid) {
  if (left.empty())
    return {};
  const cv::Mat coarse(left.height(), left.width(), CV_32FC3, const_cast<LabPixel*>(left.data()));
  Image<LabPixel> fine(grid.width, grid.height);
  cv::Mat to(grid.height, grid.width, CV_32FC3, fine.data());
  cv::resize(coarse, to, to.size(), 0, 0, cv::INTER_LINEAR);
  return fine;
}

// Firings that are done keep their numbers; a powder that is to be in a later one is in one of the rest.
FiringLimits limits_of_rest(FiringLimits limits, std::size_t done, std::size_t planned) {
  const int gone = static_cast<int>(done);
  limits.most_firings.reset();
  limits.rather_at_most = static_cast<int>(planned) - gone;
  std::erase_if(limits.fixed, [&](const FixedFiring& fixed) { return fixed.firing <= gone; });
  for (FixedFiring& fixed : limits.fixed)
    fixed.firing -= gone;
  return limits;
}

// Layers that lie first, in their order, then the rest; the firings that are done first, then theirs.
void join(PlanRecord& record, const PlanRecord& planned, std::size_t done, std::vector<Layer> laid,
          std::vector<Layer> rest, const FiringPlan& firings) {
  FiringPlan& all = record.firing_plan;
  all.proven = firings.proven;
  all.least_firings = firings.least_firings + static_cast<int>(done);
  all.firings.assign(planned.firing_plan.firings.begin(),
                     planned.firing_plan.firings.begin() + static_cast<std::ptrdiff_t>(done));
  const std::vector<bool> lies = lying(planned, done);
  for (Firing& firing : all.firings)
    firing.layers.clear();
  for (std::size_t i = 0; i < planned.layers.size(); ++i) {
    if (!lies[i])
      continue;
    const std::size_t firing = planned.firing_plan.places[i].firing;
    all.firings[firing].layers.push_back(all.places.size());
    all.places.push_back({firing, false, "it is fired already"});
  }
  for (Firing& firing : all.firings)
    firing.why = "it is done";
  const std::size_t below = laid.size();
  for (Firing firing : firings.firings) {
    for (std::size_t& layer : firing.layers)
      layer += below;
    all.firings.push_back(std::move(firing));
  }
  for (LayerPlace place : firings.places) {
    place.firing += done;
    all.places.push_back(std::move(place));
  }
  record.layers = std::move(laid);
  std::move(rest.begin(), rest.end(), std::back_inserter(record.layers));
}

}  // namespace

PlanRequest request_of(const PlanRecord& planned, const std::string& plan) {
  PlanRequest request;
  for (const SettingText& said : planned.settings) {
    const Setting* const setting = setting_of_flag(said.flag);
    if (setting == nullptr)
      throw Problem(ProblemKind::input, plan, fmt::format("there is no setting {} any more", said.flag),
                    "make the plan again");
    try {
      setting->take(FlagAnswer(said.flag, {said.value}, setting->repeats), request);
    } catch (const Problem& problem) {
      throw Problem(ProblemKind::input, plan, fmt::format("setting {}: {}", said.flag, problem.wrong()),
                    problem.remedy());
    }
  }
  request.title = planned.title;
  return request;
}

PlanRecord replan(const PlanRequest& request, const PlanRecord& planned, const PieceAsItIs& piece,
                  const Progress& progress) {
  refuse_what_cannot_be(planned, piece);
  const ThreadCount threads(request.threads);
  const auto begin = [&](std::string_view step, double share) {
    if (progress)
      progress(step, share);
  };
  const std::size_t done = piece.firings_done;
  PlanRecord record;
  record.program_version = program_version();
  record.inputs = planned.inputs;
  record.settings = planned.settings;
  record.title = planned.title;
  record.width = planned.width;
  record.height = planned.height;
  record.palette = planned.palette;
  record.sheet = planned.sheet;
  record.view = planned.view;
  record.illuminant = planned.illuminant;
  record.backing = planned.backing;
  record.smallest = planned.smallest;
  record.soft_edge = request.soft_edge;
  record.most_layers = request.most_layers;
  record.weigh_rules = request.weigh;
  record.paper = request.paper;
  record.firings_done = done;

  begin("what lies", 0);
  ChoiceLimits limits = choice_limits(request, record.palette);
  const std::vector<PowderWays> ways = powder_ways(request, record.palette);
  record.pair_prices = limits.pairs = pair_prices(request, record.palette);
  record.limits = limits_of_firings(request, record, limits.usable);
  const FiringLimits rest_limits = limits_of_rest(record.limits, done, planned.firing_plan.firings.size());
  const KilnLimits kiln{sheet_of(record), record.palette, rest_limits};
  const Painter painter =
      painter_for_last_firing(request, record, sheet_of(record), observer_under(request.illuminant));
  Target target = target_from(planned);
  const std::vector<LaidLayer> laid = laid_layers(planned, piece);

  begin("separation", 0.05);
  const SeparationRules rules{limits, request.smallest, fades_wanted(request, ways)};
  RestOfSeparation rest =
      separate_on(planned.separation, laid, painter, target, rules, on_grid(piece.left, target.grid));
  record.separation = std::move(rest.separation);

  begin("layers", 0.6);
  const std::vector<bool> lies = lying(planned, done);
  std::vector<Layer> below;
  for (std::size_t i = 0; i < planned.layers.size(); ++i) {
    if (!lies[i])
      continue;
    Layer layer = planned.layers[i];
    layer.load = layer.load * piece.strength[i];
    layer.nest = rest.nest_of_planned[layer.nest].value_or(0);
    // Nobody cuts or draws it any more.
    layer.stencil.reset();
    layer.lines.reset();
    layer.scratched.reset();
    below.push_back(std::move(layer));
  }
  std::vector<Layer> to_come = make_layers(record.separation);
  std::erase_if(to_come, [&](const Layer& layer) {
    return std::any_of(laid.begin(), laid.end(), [&](const LaidLayer& l) {
      return rest.nest_of_planned[l.nest] == layer.nest && static_cast<int>(l.step) == layer.step;
    });
  });
  begin("stencils", 0.65);
  const std::size_t room = request.most_layers > below.size() ? request.most_layers - below.size() : 0;
  hold_together(to_come, kiln, painter, target, stencil_rules(request), std::max(room, to_come.size()),
                below);
  begin("firings", 0.85);
  FiringPlan firings = planned_firings(to_come, kiln, painter, target.grid);
  put_in_bench_order(to_come, firings);
  join(record, planned, done, std::move(below), std::move(to_come), firings);
  allow_for_powder(record.firing_plan, record.layers, kiln, target.grid, done);

  record.panels = planned.panels;  // they are cut
  look_over(record, request, target);
  begin("fidelity", 0.9);
  // What a photo has told belongs to no other run.
  const KeptResults nothing_kept(PlanRequest{}, {});
  judge(record, request, painter, std::move(target), reach_of_shelf(painter, limits.usable), limits.usable,
        nothing_kept);
  return record;
}

}  // namespace powderplan
