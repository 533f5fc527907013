#include "firing/firing.h"

#include <fmt/format.h>

#include <algorithm>
#include <limits>

#include "firing/starting_schedule.h"
#include "parallel.h"
#include "problem.h"

namespace powderplan {
namespace {

constexpr int impossible = std::numeric_limits<int>::max() / 4;
// Loads are summed in single precision.
constexpr Load load_tolerance{1e-6};

// What layers do to each other when [begin, end) of them are put into one firing.
class Sharing {
 public:
  explicit Sharing(const std::vector<Layer>& layers)
      : layers_(layers.size()), touches_(layers_ * layers_, false), heaviest_(layers_ * layers_) {
    for_each_block(layers_, [&](std::size_t j) {
      for (std::size_t i = 0; i < j; ++i)
        touches_[j * layers_ + i] = lies_under(layers[i], layers[j]) ? 1 : 0;
    });
    for_each_block(layers_, [&](std::size_t begin) {
      Image<float> loose(layers[begin].amount.width(), layers[begin].amount.height(), 0.0F);
      for (std::size_t end = begin; end < layers_; ++end) {
        const auto one = static_cast<float>(layers[end].load.value() / whole_amount);
        float most = 0;
        for (std::size_t p = 0; p < loose.size(); ++p) {
          loose[p] += one * static_cast<float>(layers[end].amount[p]);
          most = std::max(most, loose[p]);
        }
        heaviest_[begin * layers_ + end] = Load(static_cast<double>(most));
      }
    });
  }

  // The first earlier layer of the group whose loose powder the stencil of layer j would touch.
  [[nodiscard]] std::optional<std::size_t> touched(std::size_t begin, std::size_t j) const {
    for (std::size_t i = begin; i < j; ++i) {
      if (touches_[j * layers_ + i] != 0)
        return i;
    }
    return std::nullopt;
  }
  [[nodiscard]] Load heaviest(std::size_t begin, std::size_t end) const {
    return heaviest_[begin * layers_ + end - 1];
  }
  // Raised stencils that the group needs, or `impossible`.
  [[nodiscard]] int raised(std::size_t begin, std::size_t end, Load limit, bool allow_raised) const {
    if (heaviest(begin, end) > limit + load_tolerance)
      return impossible;
    int count = 0;
    for (std::size_t j = begin + 1; j < end; ++j)
      count += touched(begin, j) ? 1 : 0;
    return count > 0 && !allow_raised ? impossible : count;
  }

 private:
  // Whether powder of the earlier layer lies under the template of the later one.
  static bool lies_under(const Layer& earlier, const Layer& later) {
    for (std::size_t p = 0; p < later.open.size(); ++p) {
      if (later.open[p] == 0 && earlier.amount[p] != 0)
        return true;
    }
    return false;
  }

  std::size_t layers_;
  std::vector<std::uint8_t> touches_;  // later * layers + earlier
  std::vector<Load> heaviest_;         // first * layers + last
};

// What a split is chosen for first: fewer firings or fewer raised stencils.
enum class Prefer { few_firings, few_raised };

// Starts of the groups of the best split of the sequence into at most `most` groups; empty when there is
// none. Exact for the given sequence (dynamic programming). Of equal splits the one that fills the early
// groups first, so that every later group starts where it must.
std::vector<std::size_t> best_split(const Sharing& sharing, std::size_t n, Load limit, bool allow_raised,
                                    std::size_t most, Prefer prefer = Prefer::few_firings) {
  // cost[g][i]: raised stencils of the first i layers in g groups.
  std::vector<std::vector<int>> cost(most + 1, std::vector<int>(n + 1, impossible));
  std::vector<std::vector<std::size_t>> from(most + 1, std::vector<std::size_t>(n + 1, 0));
  cost[0][0] = 0;
  std::size_t groups = 0;
  for (std::size_t g = 1; g <= most; ++g) {
    for (std::size_t end = 1; end <= n; ++end) {
      for (std::size_t begin = 0; begin < end; ++begin) {
        if (cost[g - 1][begin] >= impossible)
          continue;
        const int raised = sharing.raised(begin, end, limit, allow_raised);
        if (raised < impossible && cost[g - 1][begin] + raised <= cost[g][end]) {
          cost[g][end] = cost[g - 1][begin] + raised;
          from[g][end] = begin;
        }
      }
    }
    if (cost[g][n] < (groups == 0 ? impossible : cost[groups][n]))
      groups = g;
    if (groups != 0 && prefer == Prefer::few_firings)
      break;
  }
  std::vector<std::size_t> starts;
  for (std::size_t end = n, g = groups; g > 0; --g) {
    end = from[g][end];
    starts.insert(starts.begin(), end);
  }
  return starts;
}

// The limits cannot be met: says which smallest change would do.
[[noreturn]] void refuse(const Sharing& sharing, std::size_t n, const FiringLimits& limits) {
  for (std::size_t i = 0; i < n; ++i) {
    const Load alone = sharing.heaviest(i, i + 1);
    if (alone > limits.most_loose_load + load_tolerance)
      throw Problem(ProblemKind::infeasible, "--load",
                    fmt::format("one layer alone lays {:.3f} g/cm2, more than the {:.3f} allowed in a firing",
                                alone.value(), limits.most_loose_load.value()),
                    fmt::format("allow --load {:.3f}", alone.value()));
  }
  const std::size_t needed = best_split(sharing, n, limits.most_loose_load, limits.allow_raised, n).size();
  throw Problem(
      ProblemKind::infeasible, "--firings",
      fmt::format("the {} layers need {} firings, more than the {} allowed", n, needed, *limits.most_firings),
      fmt::format("allow --firings {}, or fewer --layers{}", needed,
                  limits.allow_raised ? ", or a larger --load"
                                      : ", or stencils raised on spacers (--raised when-needed)"));
}

// Why layer i lies in the group that starts at `begin`; the group before starts at `before`.
std::string reason(const Sharing& sharing, std::size_t before, std::size_t begin, std::size_t i, Load limit) {
  if (i == 0)
    return "It lies at the bottom, so it goes first.";
  if (i > begin) {
    const auto loose = sharing.touched(begin, i);
    if (!loose)
      return "All loose powder laid so far lies inside its opening, so it can follow in the same firing.";
    return fmt::format(
        "Its stencil would rest on the loose powder of step {}, so it stands on spacers; its edges come out "
        "about {:.0f} mm softer than shown.",
        *loose + 1, raised_softening.value());
  }
  if (const auto loose = sharing.touched(before, i))
    return fmt::format("Its stencil would rest on the loose powder of step {}, so that is fired first.",
                       *loose + 1);
  return fmt::format(
      "With it more than {:.2f} g/cm2 would lie loose in one place, so what lies is fired first.",
      limit.value());
}

}  // namespace

FiringPlan plan_firings(const std::vector<Layer>& layers, const Sheet& sheet, const GlassConstants& glass,
                        const FiringLimits& limits) {
  FiringPlan plan;
  if (layers.empty())
    return plan;
  const std::size_t n = layers.size();
  const Sharing sharing(layers);
  // A crisp edge is worth more than a firing that nobody asked to save: stencils are raised only when the
  // limit cannot be met without, and then as few as the limit allows.
  const auto split_within = [&](std::size_t most) {
    std::vector<std::size_t> starts = best_split(sharing, n, limits.most_loose_load, false, most);
    if (starts.empty() && limits.allow_raised)
      starts = best_split(sharing, n, limits.most_loose_load, true, most, Prefer::few_raised);
    return starts;
  };
  const auto at_most = [n](int firings) { return std::min(n, static_cast<std::size_t>(firings)); };
  std::vector<std::size_t> starts;
  if (!limits.most_firings && limits.rather_at_most && limits.allow_raised)
    for (std::size_t most = at_most(*limits.rather_at_most); starts.empty() && most <= n; ++most)
      starts = split_within(most);
  if (starts.empty())
    starts = split_within(limits.most_firings ? at_most(*limits.most_firings) : n);
  if (starts.empty())
    refuse(sharing, n, limits);

  plan.places.resize(n);
  for (std::size_t g = 0; g < starts.size(); ++g) {
    const std::size_t begin = starts[g], end = g + 1 < starts.size() ? starts[g + 1] : n;
    Firing firing;
    firing.finish = g + 1 == starts.size() ? limits.finish : std::min(limits.between, limits.finish);
    firing.segments = starting_schedule(glass, sheet.thickness, firing.finish, limits.reference_grain);
    firing.flow = flow_of(firing.segments, ViscosityCurve(glass));
    const FinishValues values = fired_values(firing.flow, limits.reference_grain, glass.density);
    firing.sintering = values.fused;
    firing.texture = values.matte;
    for (std::size_t i = begin; i < end; ++i) {
      firing.layers.push_back(i);
      LayerPlace& place = plan.places[i];
      place.firing = g;
      place.raised = sharing.touched(begin, i).has_value();
      place.why = reason(sharing, g > 0 ? starts[g - 1] : 0, begin, i, limits.most_loose_load);
      if (layers[i].technique == Technique::line && i > begin)
        place.why =
            "Lines need no stencil that would rest on loose powder, so they follow in the same firing.";
    }
    plan.firings.push_back(std::move(firing));
  }
  return plan;
}

std::vector<std::vector<std::size_t>> loose_below_flat_templates(const FiringPlan& plan) {
  std::vector<std::vector<std::size_t>> below(plan.places.size());
  for (const Firing& firing : plan.firings) {
    for (auto layer = firing.layers.begin(); layer != firing.layers.end(); ++layer) {
      if (!plan.places[*layer].raised)
        below[*layer].assign(firing.layers.begin(), layer);
    }
  }
  return below;
}

}  // namespace powderplan
