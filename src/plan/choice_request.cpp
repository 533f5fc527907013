#include "plan/choice_request.h"

#include <fmt/format.h>

#include <algorithm>

#include "problem.h"

namespace powderplan {
namespace {

std::vector<std::size_t> places_of(const Palette& palette, const std::vector<std::string>& ids,
                                   const char* flag) {
  std::vector<std::size_t> places;
  for (const std::string& id : ids) {
    const std::size_t place = place_of(palette, id, flag);
    if (std::find(places.begin(), places.end(), place) == places.end())  // named twice is named
      places.push_back(place);
  }
  return places;
}

}  // namespace

std::size_t place_of(const Palette& palette, const std::string& id, const char* flag) {
  if (const Powder* powder = palette.find_powder(id))
    return static_cast<std::size_t>(powder - palette.powders.data());
  std::vector<std::string> known;
  for (const Powder& p : palette.powders)
    known.push_back(p.id);
  throw Problem(ProblemKind::command_line, flag, fmt::format("no powder \"{}\" on the shelf", id),
                fmt::format("the shelf has {}", fmt::join(known, ", ")));
}

ChoiceLimits choice_limits(const PlanRequest& request, const Palette& palette) {
  ChoiceLimits limits;
  limits.most_layers = request.most_layers;
  limits.most_powders = request.most_powders;
  limits.most_at_a_spot = request.most_at_a_spot;
  limits.least_load = request.least_layer_load;
  limits.most_load = std::min(full_load, request.firing.most_loose_load);
  limits.use = places_of(palette, request.use, "--use");
  limits.order = places_of(palette, request.order, "--order");
  const std::vector<std::size_t> without = places_of(palette, request.without, "--without");
  for (std::size_t p = 0; p < palette.powders.size(); ++p) {
    if (std::find(without.begin(), without.end(), p) == without.end())
      limits.usable.push_back(p);
  }
  if (limits.usable.empty())
    throw Problem(ProblemKind::command_line, "--without", "no powder is left", "leave at least one");
  for (const std::size_t p : limits.use) {
    if (std::find(without.begin(), without.end(), p) != without.end())
      throw Problem(ProblemKind::command_line, "--use",
                    fmt::format("powder \"{}\" is both forced in and left out", palette.powders[p].id),
                    "name it only once");
  }
  if (limits.use.size() > std::min(limits.most_layers, limits.most_powders.value_or(limits.most_layers)))
    throw Problem(ProblemKind::infeasible, "--use",
                  fmt::format("{} powders are forced into {} layers", limits.use.size(), limits.most_layers),
                  fmt::format("allow --layers {} and as many powders", limits.use.size()));
  if (limits.most_load < limits.least_load)
    throw Problem(ProblemKind::infeasible, "--load",
                  fmt::format("a firing may carry {} g/cm2, less than the lightest layer, {} g/cm2",
                              limits.most_load.value(), limits.least_load.value()),
                  fmt::format("allow --load {}", limits.least_load.value()));
  return limits;
}

}  // namespace powderplan
