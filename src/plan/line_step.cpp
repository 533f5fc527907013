#include "plan/line_step.h"

#include <fmt/format.h>

#include <algorithm>
#include <opencv2/imgproc.hpp>
#include <set>
#include <utility>

#include "colour/difference.h"
#include "layers/fired_look.h"
#include "layers/line_layers.h"
#include "layers/spots.h"
#include "plan/scratch_step.h"
#include "separation/colour_index.h"
#include "separation/line_choice.h"
#include "separation/separate.h"

namespace powderplan {
namespace {

constexpr std::size_t colours_of_ground = 6000;
constexpr std::size_t colours_of_trial = 96;
constexpr std::uint8_t any_kind = 1;
// Of the error of strokes without lines, no more than this is left with them.
constexpr double most_error_left = 0.7;
// Paper is nowhere quite even.
constexpr double same_paper_de00 = 3;

// Strokes of either kind as one kind, less those that are `done`.
StrokeMap together(const StrokeMap& strokes, const Image<std::uint8_t>& done = {}) {
  StrokeMap all = strokes;
  for (std::size_t i = 0; i < all.on.size(); ++i)
    all.on[i] = strokes.on[i] != 0 && (done.empty() || done[i] == 0) ? any_kind : std::uint8_t{0};
  return all;
}

bool any_stroke(const StrokeMap& strokes) {
  return std::any_of(strokes.on.data(), strokes.on.data() + strokes.on.size(),
                     [](std::uint8_t kind) { return kind != 0; });
}

// The paper of a drawing is no area of colour: where the ground has its commonest colour, and that is near
// bare sheet, it is left bare.
void leave_paper_bare(const Painter& painter, Target& ground) {
  const ColourIndex index = index_colours(ground.wanted, ground.bare, colours_of_ground);
  const auto paper =
      std::max_element(index.colours.begin(), index.colours.end(),
                       [](const WeightedColour& a, const WeightedColour& b) { return a.weight < b.weight; });
  if (paper == index.colours.end() || ciede2000(paper->lab, painter.lab({})) > ground_like_sheet_de00)
    return;
  if (ground.bare.empty())
    ground.bare = Image<std::uint8_t>(ground.grid.width, ground.grid.height);
  std::vector<bool> like_paper;
  for (const WeightedColour& colour : index.colours)
    like_paper.push_back(ciede2000(colour.lab, paper->lab) <= same_paper_de00);
  for (std::size_t i = 0; i < index.at.size(); ++i) {
    if (index.at[i] != ColourIndex::bare && like_paper[index.at[i]])
      ground.bare[i] = 1;
  }
}

// How many layers the areas of a drawing are worth: each must gain enough, as each line layer must.
std::size_t layers_worth(const Painter& painter, const Target& ground, Millimetres smallest,
                         ChoiceLimits limits) {
  const std::vector<WeightedColour> colours = search_colours(ground, smallest, colours_of_trial);
  const std::size_t most = limits.most_layers;
  double before = 0;
  for (std::size_t count = std::max<std::size_t>(1, limits.use.size()); count <= most; ++count) {
    limits.most_layers = count;
    const double now = search_choice(painter, colours, limits, SearchEffort::quick).mean_distance;
    if (count > std::max<std::size_t>(1, limits.use.size()) && before - now < least_gain_of_line_layer)
      return count - 1;
    before = now;
  }
  return most;
}

// Whether the ground differs from bare sheet anywhere over an area that a stencil can make.
bool needs_powder(const Painter& painter, const Target& ground, Millimetres smallest) {
  const Lab sheet = painter.lab({});
  const ColourIndex index = index_colours(ground.wanted, ground.bare, colours_of_ground);
  std::vector<bool> differs;
  for (const WeightedColour& colour : index.colours)
    differs.push_back(ciede2000(colour.lab, sheet) > ground_like_sheet_de00);
  cv::Mat areas(ground.grid.height, ground.grid.width, CV_8U);
  for (std::size_t i = 0; i < index.at.size(); ++i)
    areas.data[i] = index.at[i] != ColourIndex::bare && differs[index.at[i]] ? 1 : 0;
  const int across = 2 * static_cast<int>(smallest / ground.grid.pitch / 2) + 1;
  cv::morphologyEx(areas, areas, cv::MORPH_OPEN,
                   cv::getStructuringElement(cv::MORPH_ELLIPSE, {across, across}), {-1, -1}, 1,
                   cv::BORDER_REPLICATE);
  return cv::countNonZero(areas) > 0;
}

std::set<std::size_t> powders_in(const Choice& choice) {
  const std::vector<std::size_t> powders = powders_of(choice);
  return {powders.begin(), powders.end()};
}

// Powders that may lie on top of a choice.
std::vector<std::size_t> usable_on(const Choice& choice, const ChoiceLimits& limits) {
  const std::set<std::size_t> below = powders_in(choice);
  std::vector<std::size_t> usable;
  for (const std::size_t powder : limits.usable) {
    const auto place = std::find(limits.order.begin(), limits.order.end(), powder);
    const bool belongs_below = std::any_of(place, limits.order.end(), [&](std::size_t later) {
      return later != powder && below.contains(later);
    });
    if (!belongs_below)
      usable.push_back(powder);
  }
  return usable;
}

// Line layers within the limits, those of --order lowest first.
LineLayers chosen_lines(const Painter& painter, const std::vector<LineSpot>& spots, const Choice& below,
                        const ChoiceLimits& limits, std::size_t most) {
  LineLimits lines{usable_on(below, limits), limits.least_load, limits.most_load};
  LineLayers found = line_layers(painter, spots, lines, most);
  std::set<std::size_t> powders = powders_in(below);
  std::vector<std::size_t> within(powders.begin(), powders.end());
  std::erase_if(within, [&](std::size_t powder) {
    return std::find(lines.usable.begin(), lines.usable.end(), powder) == lines.usable.end();
  });
  bool too_many = false;
  for (const LineChoice& layer : found.layers) {
    if (powders.contains(layer.powder))
      continue;
    if (powders.size() < limits.most_powders.value_or(powders.size() + 1)) {
      powders.insert(layer.powder);
      within.push_back(layer.powder);
    } else {
      too_many = true;
    }
  }
  if (too_many) {
    lines.usable = within;
    found = line_layers(painter, spots, lines, most);
  }
  return found;
}

// The layers in the order of --order where that names them.
std::vector<std::size_t> laying_order(const LineLayers& lines, const ChoiceLimits& limits) {
  std::vector<std::size_t> order, named, places;
  for (std::size_t i = 0; i < lines.layers.size(); ++i) {
    order.push_back(i);
    if (std::find(limits.order.begin(), limits.order.end(), lines.layers[i].powder) != limits.order.end()) {
      named.push_back(i);
      places.push_back(i);
    }
  }
  std::stable_sort(named.begin(), named.end(), [&](std::size_t a, std::size_t b) {
    const auto rank = [&](std::size_t i) {
      return std::find(limits.order.begin(), limits.order.end(), lines.layers[i].powder);
    };
    return rank(a) < rank(b);
  });
  for (std::size_t k = 0; k < places.size(); ++k)
    order[places[k]] = named[k];
  return order;
}

// What a firing still carries on top of these layers, wherever strokes are, without another firing.
Load room_in_firing(const StrokeMap& strokes, const std::vector<Layer>& layers, const KilnLimits& kiln) {
  if (layers.empty())
    return kiln.firing.most_loose_load;
  const FiringPlan firings = plan_firings(layers, kiln);
  Load heaviest;
  for (std::size_t i = 0; i < strokes.on.size(); ++i) {
    if (strokes.on[i] == 0)
      continue;
    Load loose;
    for (const std::size_t l : firings.firings.back().layers)
      loose += layers[l].load * (static_cast<double>(layers[l].amount[i]) / whole_amount);
    heaviest = std::max(heaviest, loose);
  }
  return kiln.firing.most_loose_load - heaviest;
}

// Lays lines for the strokes that are not done; how many layers that makes.
std::size_t lay_on_top(const Painter& painter, const LineStep& step, const Image<std::uint8_t>& done,
                       const ChoiceLimits& limits, const KilnLimits& kiln, const LineRules& rules,
                       Separation& separation, std::vector<Layer>& layers) {
  if (layers.size() >= limits.most_layers)
    return 0;
  StrokeSpots spots;
  Load room;
  {
    const StrokeMap strokes = together(step.strokes, done);
    if (!any_stroke(strokes))
      return 0;
    const LyingRecipes below = lying(layers, separation.grid);
    spots = spots_of(strokes, any_kind, below.at, below.recipes);
    room = room_in_firing(strokes, layers, kiln);
  }
  const std::size_t most = limits.most_layers - layers.size();
  LineLayers lines = chosen_lines(painter, spots.spots, separation.choice, limits, most);
  ChoiceLimits lighter = limits;
  lighter.most_load = std::min(limits.most_load, room);
  if (lighter.most_load < limits.most_load && lighter.most_load >= limits.least_load) {
    LineLayers in_same_firing = chosen_lines(painter, spots.spots, separation.choice, lighter, most);
    if (in_same_firing.mean_de00 <= lines.mean_de00 + worth_of_firing_de00)
      lines = std::move(in_same_firing);
  }
  const std::vector<Image<std::uint8_t>> masks =
      masks_of(spots, lines, separation.grid, StrokeRules{}.shortest);
  std::size_t laid = 0;
  for (const std::size_t i : laying_order(lines, limits)) {
    LinePlan plan = lines_of(masks[i], step.strokes, separation.grid, rules);
    if (plan.paths.empty())
      continue;
    layers.push_back(line_layer(separation, lines.layers[i], std::move(plan), rules));
    ++laid;
  }
  return laid;
}

// Whether the lines, as a hand draws them, bring the strokes and what lies under them clearly nearer to what
// is wanted. Texture that was taken for strokes does not pass.
bool improved(const LineStep& step, const Target& target, const PackedLab& sheet,
              const Image<PackedLab>& before, const Image<PackedLab>& after) {
  double sum_before = 0, sum_after = 0;
  for (std::size_t i = 0; i < before.size(); ++i) {
    const bool changed = before[i] != after[i];
    const bool on = step.strokes.on[i] != 0;
    if (!changed && !on)
      continue;
    const Lab wanted = to_lab(on ? step.strokes.ink[i] : target.is_bare(i) ? sheet : target.wanted[i]);
    sum_before += ciede2000(wanted, to_lab(before[i]));
    sum_after += ciede2000(wanted, to_lab(after[i]));
  }
  return sum_after <= most_error_left * sum_before;
}

}  // namespace

LineRules line_rules(Millimetres smallest) {
  LineRules rules;
  // Strokes swell to twice the smallest width (StrokeRules::swelling).
  rules.most_width = std::max(rules.most_width, smallest * StrokeRules{}.swelling);
  return rules;
}

Separation bare_separation(const Grid& grid) {
  return {grid, {}, {Tones{}}, Image<std::uint16_t>(grid.width, grid.height)};
}

std::vector<std::size_t> for_areas(const std::vector<std::size_t>& usable,
                                   const std::vector<PowderWays>& ways) {
  std::vector<std::size_t> kept;
  std::copy_if(usable.begin(), usable.end(), std::back_inserter(kept),
               [&](std::size_t powder) { return ways[powder].stencil || ways[powder].fade; });
  return kept;
}

std::optional<LineStep> find_lines(const Painter& painter, const Target& target, const PlanRequest& request,
                                   const ChoiceLimits& limits, const std::vector<PowderWays>& ways) {
  std::vector<std::size_t> line_powders;
  std::copy_if(limits.usable.begin(), limits.usable.end(), std::back_inserter(line_powders),
               [&](std::size_t powder) { return ways[powder].line; });
  if (line_powders.empty())
    return {};
  const std::vector<std::size_t> area_powders = for_areas(limits.usable, ways);
  const bool alone = area_powders.empty();
  StrokeRules rules;
  rules.smallest = request.smallest;
  rules.sheet = painter.lab({});
  if (alone) {
    // All that a hand can draw is drawn, whatever the picture.
    rules.smallest = std::max(rules.smallest, LineRules{}.most_width);
    rules.least_drawing_share = 0;
  }
  LineStep step;
  step.strokes = find_strokes(target, rules);
  if (!alone && !any_stroke(step.strokes))
    return {};
  // Nobody asks the strokes for it again.
  step.ground = {
      target.grid, std::exchange(step.strokes.ground, {}), {}, std::exchange(step.strokes.ground_bare, {})};
  step.alone = alone;
  step.ground_limits = limits;
  step.ground_limits.usable = area_powders;
  const Millimetres width =
      std::max(line_rules(request.smallest).least_width, mean_width(together(step.strokes).on, target.grid));
  step.line_limits = limits;
  step.line_limits.usable = line_powders;
  step.line_limits.most_load =
      std::max(limits.least_load,
               std::min(limits.most_load, most_load_of_line(width, painter.palette().glass.density)));
  step.smallest = request.smallest;
  const bool areas = needs_powder(painter, step.ground, request.smallest);
  step.only_lines = alone || (limits.use.empty() && !areas);
  step.ground_lost = alone && areas;
  if (step.only_lines)
    return step;
  if (limits.most_layers < 2)
    return {};  // areas come first
  // How many lines there will be is told from those on bare sheet.
  const LyingRecipes nothing = lying({}, target.grid);
  const StrokeSpots spots = spots_of(together(step.strokes), any_kind, nothing.at, nothing.recipes);
  const LineLayers lines = chosen_lines(painter, spots.spots, {}, step.line_limits, limits.most_layers / 2);
  const std::size_t room = std::max<std::size_t>(1, lines.layers.size());
  leave_paper_bare(painter, step.ground);
  step.ground_limits.most_layers = std::max(limits.most_layers - room, limits.use.size());
  step.ground_limits.most_layers = layers_worth(painter, step.ground, request.smallest, step.ground_limits);
  if (limits.most_powders)
    step.ground_limits.most_powders =
        std::max({*limits.most_powders - std::min(room, *limits.most_powders - 1), limits.use.size()});
  return step;
}

bool lay_lines(const Painter& painter, const Target& target, const LineStep& step, const KilnLimits& kiln,
               Separation& separation, std::vector<Layer>& layers) {
  const ChoiceLimits& limits = step.line_limits;
  const LineRules rules = line_rules(step.smallest);
  for (const bool scratching : {true, false}) {
    Separation with = separation;
    std::vector<Layer> all = layers;
    Image<std::uint8_t> done(separation.grid.width, separation.grid.height);
    if (scratching)
      done = scratch_strokes(painter, step.strokes, separation.grid, plan_firings(layers, kiln),
                             {rules, step.smallest, limits}, all);
    const bool scratched = std::find(done.data(), done.data() + done.size(), 1) != done.data() + done.size();
    const std::size_t laid = lay_on_top(painter, step, done, limits, kiln, rules, with, all);
    if (!scratched && laid == 0)
      return false;
    // Lines on top, and what is gone, may part the firings differently.
    if (scratched && !scratches_hold(all, plan_firings(all, kiln), separation.grid, rules))
      continue;
    if (!improved(step, target, to_pixel(painter.lab({})), fired_colours(painter, layers, separation.grid),
                  fired_colours(painter, all, separation.grid)))
      continue;
    separation = std::move(with);
    layers = std::move(all);
    return true;
  }
  return false;
}

std::vector<std::string> line_notes(const LineStep& step, const std::vector<Layer>& layers) {
  std::vector<std::string> notes;
  if (!step.alone)
    return notes;
  if (layers.empty())
    notes.emplace_back(
        "nothing in this picture can be drawn as a line, and lines are the only technique allowed: the plan "
        "has "
        "no layers");
  else if (step.ground_lost)
    notes.push_back(
        fmt::format("lines are the only technique allowed: areas wider than {:.3g} mm are left as bare sheet",
                    line_rules(step.smallest).most_width.value()));
  return notes;
}

}  // namespace powderplan
