#include "layers/outline_smooth.h"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "layers/outline_steps.h"

namespace powderplan {
namespace {

// Weights of an average along the chain, by distance in points: a Gaussian of this standard deviation.
class Average {
 public:
  explicit Average(double spread) : reach_(static_cast<int>(std::ceil(3 * spread))) {
    double sum = 0;
    for (int i = 0; i <= reach_; ++i) {
      weights_.push_back(std::exp(-i * i / (2 * spread * spread)));
      sum += (i == 0 ? 1 : 2) * weights_.back();
    }
    for (double& w : weights_)
      w /= sum;
  }
  [[nodiscard]] int reach() const { return reach_; }
  [[nodiscard]] double weight(int away) const { return weights_[static_cast<std::size_t>(std::abs(away))]; }

 private:
  int reach_;
  std::vector<double> weights_;
};

// A piece of the chain between two places on the piece's edge, or all of it, closed.
struct Run {
  std::vector<PointMm> points;
  bool closed = false;

  // Beyond an end the run goes on as if turned about it, so that it meets the edge in its own direction.
  [[nodiscard]] PointMm beyond(int i) const {
    const int n = static_cast<int>(points.size());
    if (closed)
      return points[static_cast<std::size_t>(((i % n) + n) % n)];
    if (i < 0) {
      const PointMm& p = points[static_cast<std::size_t>(std::min(-i, n - 1))];
      return {2 * points.front().x - p.x, 2 * points.front().y - p.y};
    }
    if (i >= n) {
      const PointMm& p = points[static_cast<std::size_t>(std::max(2 * (n - 1) - i, 0))];
      return {2 * points.back().x - p.x, 2 * points.back().y - p.y};
    }
    return points[static_cast<std::size_t>(i)];
  }

  [[nodiscard]] Run averaged(const Average& average) const {
    const int n = static_cast<int>(points.size()), reach = average.reach();
    std::vector<PointMm> longer;
    longer.reserve(static_cast<std::size_t>(n + 2 * reach));
    for (int i = -reach; i < n + reach; ++i)
      longer.push_back(i >= 0 && i < n ? points[static_cast<std::size_t>(i)] : beyond(i));
    Run result{std::vector<PointMm>(points.size()), closed};
    for (int i = 0; i < n; ++i) {
      PointMm sum;
      for (int k = -reach; k <= reach; ++k) {
        const PointMm& p = longer[static_cast<std::size_t>(i + k + reach)];
        sum.x += average.weight(k) * p.x;
        sum.y += average.weight(k) * p.y;
      }
      result.points[static_cast<std::size_t>(i)] = sum;
    }
    return result;
  }

  // Averaged, but with what that takes from its curves added back: what is lost, averaged too, three times.
  [[nodiscard]] Run evened(const Average& average) const {
    Run left = *this, sum{std::vector<PointMm>(points.size()), closed};
    for (int round = 0; round < 3; ++round) {
      const Run part = left.averaged(average);
      for (std::size_t i = 0; i < points.size(); ++i) {
        sum.points[i].x += part.points[i].x;
        sum.points[i].y += part.points[i].y;
        left.points[i].x = points[i].x - sum.points[i].x;
        left.points[i].y = points[i].y - sum.points[i].y;
      }
    }
    return sum;
  }
};

double distance(PointMm a, PointMm b) {
  const double dx = a.x - b.x, dy = a.y - b.y;
  return std::sqrt(dx * dx + dy * dy);
}

double held_near(double value, double middle, double reach) {
  return std::clamp(value, middle - reach, middle + reach);
}

PointMm allowed(PointMm p, const TracedPoint& traced) {
  const bool x_free = traced.freedom == Freedom::all || traced.freedom == Freedom::across;
  const bool y_free = traced.freedom == Freedom::all || traced.freedom == Freedom::down;
  return {x_free ? held_near(p.x, traced.x, traced.reach) : traced.x,
          y_free ? held_near(p.y, traced.y, traced.reach) : traced.y};
}

// Where the line through the run's points next to its end comes to the piece's edge.
PointMm met_edge(const std::vector<PointMm>& from_end, const TracedPoint& end) {
  const std::size_t n = std::min<std::size_t>(from_end.size(), 9);
  if (n < 4)
    return {end.x, end.y};
  // Position along the edge as a straight line of the depth below it, by least squares.
  const bool across = end.freedom == Freedom::across;
  double d = 0, p = 0, dd = 0, dp = 0;
  for (std::size_t i = 1; i < n; ++i) {
    const double depth = across ? from_end[i].y - end.y : from_end[i].x - end.x;
    const double place = across ? from_end[i].x : from_end[i].y;
    d += depth;
    p += place;
    dd += depth * depth;
    dp += depth * place;
  }
  const double count = static_cast<double>(n - 1), spread_of_depth = dd - d * d / count;
  // Near to parallel with the edge, the line says nothing about where it comes to it.
  if (spread_of_depth < 1.0)
    return {end.x, end.y};
  const double slope = (dp - d * p / count) / spread_of_depth;
  const double place = (p - slope * d) / count;
  return allowed(across ? PointMm{place, end.y} : PointMm{end.x, place}, end);
}

void smooth(Run& run, const std::vector<TracedPoint>& traced) {
  if (run.points.size() < 3)
    return;
  if (!run.closed) {
    if (traced.front().freedom != Freedom::none)
      run.points.front() = met_edge(run.points, traced.front());
    if (traced.back().freedom != Freedom::none)
      run.points.back() = met_edge({run.points.rbegin(), run.points.rend()}, traced.back());
  }
  // Gentle curves are averaged over a long way, tight ones, which that would move, over a short one; the
  // second round smooths what the bounds have bent.
  static const Average wide(7.0), narrow(3.0);
  constexpr int rounds = 2;
  for (int round = 0; round < rounds; ++round) {
    const Run near = run.evened(narrow), far = run.evened(wide);
    // The long way is taken only where nothing near tells against it.
    const int n = static_cast<int>(run.points.size());
    std::vector<double> apart;
    for (std::size_t i = 0; i < run.points.size(); ++i)
      apart.push_back(distance(far.points[i], near.points[i]));
    constexpr double too_far = 0.25;
    constexpr int nearby = 12;
    const int skip = run.closed ? 0 : 1;  // ends stay
    for (int i = skip; i < n - skip; ++i) {
      double most = 0;
      if (i >= nearby && i + nearby < n) {
        most = *std::max_element(apart.begin() + i - nearby, apart.begin() + i + nearby + 1);
      } else {
        for (int k = i - nearby; k <= i + nearby; ++k) {
          const int at = run.closed ? ((k % n) + n) % n : std::clamp(k, 0, n - 1);
          most = std::max(most, apart[static_cast<std::size_t>(at)]);
        }
      }
      const auto at = static_cast<std::size_t>(i);
      const double share = std::clamp(2 - 2 * most / too_far, 0.0, 1.0);
      const PointMm a = near.points[at], b = far.points[at];
      run.points[at] = allowed({a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)}, traced[at]);
    }
  }
}

}  // namespace

std::vector<PointMm> smoothed(const std::vector<TracedPoint>& traced_chain) {
  const std::size_t n = traced_chain.size();
  std::vector<TracedPoint> chain = traced_chain;
  std::vector<PointMm> result;
  for (const TracedPoint& p : off_the_steps(traced_chain)) {
    chain[result.size()].reach = p.reach;
    result.push_back({p.x, p.y});
  }
  const auto first_on_edge = std::find_if(chain.begin(), chain.end(),
                                          [](const TracedPoint& p) { return p.freedom != Freedom::all; });
  if (first_on_edge == chain.end()) {
    Run whole{result, true};
    smooth(whole, chain);
    return whole.points;
  }
  // From each point on the edge to the next, round the chain.
  const auto start = static_cast<std::size_t>(first_on_edge - chain.begin());
  for (std::size_t i = 0; i < n;) {
    Run run;
    std::vector<TracedPoint> traced;
    std::size_t k = i;
    do {
      traced.push_back(chain[(start + k) % n]);
      run.points.push_back(result[(start + k) % n]);
    } while (chain[(start + ++k) % n].freedom == Freedom::all);
    traced.push_back(chain[(start + k) % n]);
    run.points.push_back(result[(start + k) % n]);
    if (traced.size() > 2) {
      smooth(run, traced);
      for (std::size_t j = 0; j < run.points.size(); ++j)
        result[(start + i + j) % n] = run.points[j];
    }
    i = k;
  }
  return result;
}

}  // namespace powderplan
