#include "plan/firing_request.h"

#include <fmt/format.h>

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
  return limits;
}

}  // namespace powderplan
