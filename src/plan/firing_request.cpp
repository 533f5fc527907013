#include "plan/firing_request.h"

#include <fmt/format.h>

#include <algorithm>

#include "plan/choice_request.h"
#include "problem.h"

namespace powderplan {
namespace {

// Each powder once.
template <class Wish>
void check_named_once(const std::vector<Wish>& wishes, const char* flag) {
  for (auto wish = wishes.begin(); wish != wishes.end(); ++wish) {
    for (auto before = wishes.begin(); before != wish; ++before) {
      if (before->powder == wish->powder)
        throw Problem(ProblemKind::command_line, flag, fmt::format("\"{}\" is named twice", wish->powder),
                      "name each powder once");
    }
  }
}

[[noreturn]] void contradiction(std::string wrong, std::string remedy) {
  throw Problem(ProblemKind::infeasible, "--in-firing", std::move(wrong), std::move(remedy));
}

const FixedFiring* fixed_of(const FiringLimits& limits, std::size_t powder) {
  const auto at = std::find_if(limits.fixed.begin(), limits.fixed.end(),
                               [&](const FixedFiring& fixed) { return fixed.powder == powder; });
  return at == limits.fixed.end() ? nullptr : &*at;
}

// What is to lie below must not be fixed to a later firing.
void check_order(const PlanRequest& request, const FiringLimits& limits, const Palette& palette) {
  for (std::size_t above = 1; above < request.order.size(); ++above) {
    for (std::size_t below = 0; below < above; ++below) {
      const FixedFiring* first = fixed_of(limits, place_of(palette, request.order[below], "--order"));
      const FixedFiring* second = fixed_of(limits, place_of(palette, request.order[above], "--order"));
      if (first != nullptr && second != nullptr && first->firing > second->firing)
        contradiction(
            fmt::format("\"{}\" is fixed to firing {} and \"{}\" to firing {}, but --order puts the "
                        "first below the second",
                        request.order[below], first->firing, request.order[above], second->firing),
            "change one of the two firings, or the order");
    }
  }
}

// What is fired hotter must not be fixed to the firing of a cooler one, nor to a later one.
void check_heat(const FiringLimits& limits, const Palette& palette) {
  for (const FixedFiring& hot : limits.fixed) {
    for (const FixedFiring& cool : limits.fixed) {
      const Finish hotter = finish_wished(limits, hot.powder), cooler = finish_wished(limits, cool.powder);
      if (hotter > cooler && hot.firing >= cool.firing)
        contradiction(
            fmt::format("\"{}\" is fixed to firing {} with a {} finish and \"{}\" to firing {} with {}, "
                        "whose texture that would melt",
                        palette.powders[hot.powder].id, hot.firing, name_of(hotter),
                        palette.powders[cool.powder].id, cool.firing, name_of(cooler)),
            "give the hotter one an earlier firing");
    }
  }
}

bool must_be_in(const PlanRequest& request, const std::string& id) {
  return std::find(request.use.begin(), request.use.end(), id) != request.use.end();
}

// What must be in the plan must not lie below what is fired hotter: its texture would melt.
void check_heat_of_order(const PlanRequest& request, const FiringLimits& limits, const Palette& palette) {
  for (std::size_t above = 1; above < request.order.size(); ++above) {
    for (std::size_t below = 0; below < above; ++below) {
      const std::string &low = request.order[below], &high = request.order[above];
      const Finish cooler = finish_wished(limits, place_of(palette, low, "--order"));
      const Finish hotter = finish_wished(limits, place_of(palette, high, "--order"));
      if (hotter > cooler && must_be_in(request, low) && must_be_in(request, high))
        throw Problem(
            ProblemKind::infeasible, "--finish-of",
            fmt::format("\"{}\" with a {} finish is to lie below \"{}\" with {}, and both must be "
                        "in the plan, but the heat of the second would melt the texture of the first",
                        low, name_of(cooler), high, name_of(hotter)),
            "change one of the two finishes, or the order");
    }
  }
}

}  // namespace

FiringLimits firing_limits(const PlanRequest& request, const Palette& palette) {
  check_named_once(request.in_firing, "--in-firing");
  check_named_once(request.finish_of, "--finish-of");
  FiringLimits limits = request.firing;
  for (const FiringOfPowder& wish : request.in_firing) {
    if (limits.most_firings && wish.firing > *limits.most_firings)
      throw Problem(ProblemKind::infeasible, "--in-firing",
                    fmt::format("\"{}\" is fixed to firing {}, but only {} are allowed", wish.powder,
                                wish.firing, *limits.most_firings),
                    fmt::format("allow --firings {}, or give it an earlier one", wish.firing));
    limits.fixed.push_back({place_of(palette, wish.powder, "--in-firing"), wish.firing});
  }
  for (const FinishOfPowder& wish : request.finish_of)
    limits.other.push_back({place_of(palette, wish.powder, "--finish-of"), wish.finish});
  check_order(request, limits, palette);
  check_heat(limits, palette);
  check_heat_of_order(request, limits, palette);
  return limits;
}

void ask_of_choice(const FiringLimits& limits, const std::vector<PowderWays>& ways, const Palette& palette,
                   ChoiceLimits& choice) {
  for (std::size_t powder = 0; powder < palette.powders.size(); ++powder) {
    // What is only laid by hand leaves its nest once its template is dropped.
    if (ways[powder].fade && !ways[powder].stencil)
      choice.apart.push_back(powder);
    if (!limits.other.empty())
      choice.heat.push_back(static_cast<int>(finish_wished(limits, powder)));
  }
  for (const FixedFiring& fixed : limits.fixed)
    choice.in_firing.push_back({fixed.powder, static_cast<std::size_t>(fixed.firing)});
}

}  // namespace powderplan
