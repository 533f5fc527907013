#include "layers/outline_steps.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <optional>

namespace powderplan {
namespace {

// Points of the chain in one line along the grid.
struct LevelRun {
  std::size_t first = 0, length = 0;  // counted on beyond the chain's end, if need be
  int dx = 0, dy = 0;
};

class Steps {
 public:
  explicit Steps(const std::vector<TracedPoint>& chain) : chain_(chain), result_(chain) { find_runs(); }

  std::vector<TracedPoint> bent() {
    for (std::size_t i = 0; i < runs_.size(); ++i)
      bend(i);
    return std::move(result_);
  }

 private:
  [[nodiscard]] const TracedPoint& point(std::size_t i) const { return chain_[i % chain_.size()]; }
  [[nodiscard]] bool inner(std::size_t i) const { return point(i).freedom == Freedom::all; }
  // Sides between squares lie level or upright: their middles have a whole y or a whole x.
  [[nodiscard]] bool level(std::size_t i) const { return point(i).y == std::floor(point(i).y); }
  [[nodiscard]] bool same_run(std::size_t i) const {
    return inner(i) && inner(i + 1) && level(i) == level(i + 1);
  }

  void find_runs() {
    const std::size_t n = chain_.size();
    std::size_t start = 0;
    while (start < n && same_run(start + n - 1))
      ++start;
    if (start == n)
      return;
    for (std::size_t i = start; i < start + n;) {
      LevelRun run{i, 1, 0, 0};
      while (run.length < n && same_run(i + run.length - 1))
        ++run.length;
      // A point's way: the run's direction, or for a single point that of its neighbours along it.
      if (inner(i)) {
        const TracedPoint &before = point(i + n - 1), &after = point(i + run.length);
        const auto sign = [](double v) { return v > 0 ? 1 : v < 0 ? -1 : 0; };
        if (level(i))
          run.dx = sign(after.x - before.x);
        else
          run.dy = sign(after.y - before.y);
      }
      runs_.push_back(run);
      i += run.length;
    }
  }

  // The run beyond a step at the end (or at the start) of a run, if there is a step: one single point, after
  // which the outline goes on in the same direction.
  [[nodiscard]] std::optional<std::size_t> beyond_step(std::size_t i, bool at_end) const {
    const std::size_t n = runs_.size(), on = at_end ? 1 : n - 1;
    const LevelRun &run = runs_[i], &step = runs_[(i + on) % n], &next = runs_[(i + 2 * on) % n];
    const bool is_step = n > 2 && step.length == 1 && inner(step.first) && inner(next.first) &&
                         next.dx == run.dx && next.dy == run.dy && level(step.first) != level(run.first);
    return is_step ? std::optional((i + on) % n) : std::nullopt;
  }

  void bend(std::size_t i) {
    const LevelRun& run = runs_[i];
    if (!inner(run.first))
      return;
    const bool is_level = level(run.first);
    const std::size_t n = runs_.size();
    const auto start = beyond_step(i, false), end = beyond_step(i, true);
    const double half = static_cast<double>(run.length) / 2;
    const auto towards = [&](std::size_t step) {
      const TracedPoint &s = point(runs_[step].first), &r = point(run.first);
      return is_level ? s.y - r.y : s.x - r.x;
    };
    const bool staircase = start && end && towards(*start) * towards(*end) < 0;
    const auto bend_at = [&](const std::optional<std::size_t>& step, std::size_t next, double from_end) {
      if (!step)
        return 0.0;
      const double over = std::min(half, 1.5 * static_cast<double>(runs_[next].length));
      const double share = std::max(0.0, 1 - from_end / over);
      return towards(*step) * (staircase && over == half ? share : share * share);
    };
    for (std::size_t k = 0; k < run.length; ++k) {
      const double from_start = static_cast<double>(k) + 0.5;
      const double from_end = static_cast<double>(run.length) - from_start;
      const double off = bend_at(start, (i + n - 2) % n, from_start) + bend_at(end, (i + 2) % n, from_end);
      TracedPoint& p = result_[(run.first + k) % chain_.size()];
      const double held = std::clamp(off, -p.reach, p.reach);
      (is_level ? p.y : p.x) += held;
      constexpr std::size_t long_run = 16;
      constexpr double near_end = 5;
      if (off == 0.0 && run.length >= long_run && std::min(from_start, from_end) > near_end)
        p.reach = 0.01;
    }
  }

  const std::vector<TracedPoint>& chain_;
  std::vector<TracedPoint> result_;
  std::vector<LevelRun> runs_;
};

}  // namespace

std::vector<TracedPoint> off_the_steps(const std::vector<TracedPoint>& chain) {
  return Steps(chain).bent();
}

}  // namespace powderplan
