#include "layers/repeats.h"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "layers/outline_match.h"
#include "layers/shape_measures.h"
#include "parallel.h"

namespace powderplan {
namespace {

struct Group {
  std::size_t first = 0;
  std::vector<RepeatPlace> places;
};

bool is_large_enough(const MatchOutline& outline, const RepeatRules& rules) {
  return 2 * outline.farthest >= rules.least_size.value() && outline.area > 0;
}

BoxMm with_margin(BoxMm box, double margin) {
  return {box.left - margin, box.top - margin, box.right + margin, box.bottom + margin};
}

// Whether the small template, laid at this place, covers a part of any other opening.
bool is_too_close(const RepeatPlace& place, const BoxMm& sheet, const std::vector<PolygonMm>& openings) {
  for (std::size_t i = 0; i < openings.size(); ++i) {
    if (i == place.opening || openings[i].empty())
      continue;
    // As seen from the template.
    PolygonMm seen = openings[i];
    for (PointMm& p : seen)
      p = {p.x - place.centre.x, p.y - place.centre.y};
    if (outline_meets(placed(seen, {0, 0}, -place.angle_deg), sheet))
      return true;
  }
  return false;
}

}  // namespace

std::vector<Repeat> find_repeats(const std::vector<PolygonMm>& openings, const RepeatRules& rules) {
  std::vector<MatchOutline> outlines(openings.size());
  for_each_block(openings.size(), [&](std::size_t i) {
    if (openings[i].size() >= 3)
      outlines[i] = match_outline(openings[i]);
  });

  // Each first opening gathers all later ones that are still free; which it fits is asked for all at once.
  std::vector<Group> groups;
  std::vector<bool> taken(openings.size());
  for (std::size_t first = 0; first < openings.size(); ++first) {
    if (taken[first] || !is_large_enough(outlines[first], rules))
      continue;
    std::vector<std::size_t> free;
    for (std::size_t i = first + 1; i < openings.size(); ++i) {
      if (!taken[i] && is_large_enough(outlines[i], rules))
        free.push_back(i);
    }
    std::vector<std::optional<OutlinePose>> poses(free.size());
    for_each_block(free.size(), [&](std::size_t k) {
      poses[k] = pose_on(outlines[first], outlines[free[k]], rules.tolerance, rules.turned);
    });
    Group group{first, {{first, outlines[first].centre, 0, 0}}};
    for (std::size_t k = 0; k < free.size(); ++k) {
      if (!poses[k])
        continue;
      group.places.push_back({free[k], poses[k]->centre, poses[k]->angle_deg, poses[k]->distance});
      taken[free[k]] = true;
    }
    groups.push_back(std::move(group));
  }

  std::vector<Repeat> repeats;
  for (Group& group : groups) {
    if (group.places.size() < std::max<std::size_t>(rules.least_places, 2))
      continue;
    const MatchOutline& first = outlines[group.first];
    Repeat repeat{first.points, std::move(group.places), {}, {}};
    repeat.saved_cut = Millimetres(first.length * static_cast<double>(repeat.places.size() - 1));
    const BoxMm sheet = with_margin(box_of(repeat.shape), rules.margin.value());
    for (std::size_t k = 0; k < repeat.places.size(); ++k) {
      if (is_too_close(repeat.places[k], sheet, openings))
        repeat.too_close.push_back(k);
    }
    repeats.push_back(std::move(repeat));
  }
  return repeats;
}

Stencil small_template(const Repeat& repeat, const RepeatRules& rules) {
  const BoxMm box = box_of(repeat.shape);
  const PointMm centre{-box.left, -box.top};  // of the shape, from the box's corner
  Stencil stencil;
  stencil.width = Millimetres(box.right - box.left);
  stencil.height = Millimetres(box.bottom - box.top);
  stencil.border = rules.margin;
  stencil.openings = {placed(repeat.shape, centre, 0)};
  const double middle = rules.margin.value() / 2;
  stencil.pin = rules.margin / 8;
  stencil.pins = {{centre.x, -middle},
                  {centre.x + 2 * stencil.pin.value(), -middle},
                  {stencil.width.value() + middle, centre.y},
                  {centre.x, stencil.height.value() + middle},
                  {-middle, centre.y}};
  return stencil;
}

}  // namespace powderplan
