#include "layers/outline_smooth.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace powderplan {
namespace {

// Standard deviation of the averaging, in points of the chain: long enough to carry over the steps of a
// gentle slope, short enough to leave a disc a few points wide round.
constexpr double spread = 3.0;
constexpr int reach_of_average = 9;

std::array<double, 2 * reach_of_average + 1> weights() {
  std::array<double, 2 * reach_of_average + 1> w{};
  double sum = 0;
  for (int i = -reach_of_average; i <= reach_of_average; ++i)
    sum += w[static_cast<std::size_t>(i + reach_of_average)] = std::exp(-i * i / (2 * spread * spread));
  for (double& v : w)
    v /= sum;
  return w;
}

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

  [[nodiscard]] Run averaged() const {
    static const auto w = weights();
    Run result{std::vector<PointMm>(points.size()), closed};
    for (int i = 0; i < static_cast<int>(points.size()); ++i) {
      PointMm sum;
      for (int k = -reach_of_average; k <= reach_of_average; ++k) {
        const PointMm p = beyond(i + k);
        sum.x += w[static_cast<std::size_t>(k + reach_of_average)] * p.x;
        sum.y += w[static_cast<std::size_t>(k + reach_of_average)] * p.y;
      }
      result.points[static_cast<std::size_t>(i)] = sum;
    }
    return result;
  }
};

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
  constexpr int rounds = 3;  // the later ones smooth what the bounds have bent
  for (int round = 0; round < rounds; ++round) {
    Run left = run, sum{std::vector<PointMm>(run.points.size()), run.closed};
    for (int k = 0; k < 3; ++k) {
      const Run part = left.averaged();
      for (std::size_t i = 0; i < run.points.size(); ++i) {
        sum.points[i].x += part.points[i].x;
        sum.points[i].y += part.points[i].y;
        left.points[i].x = run.points[i].x - sum.points[i].x;
        left.points[i].y = run.points[i].y - sum.points[i].y;
      }
    }
    const std::size_t skip = run.closed ? 0 : 1;  // ends stay
    for (std::size_t i = skip; i + skip < run.points.size(); ++i)
      run.points[i] = allowed(sum.points[i], traced[i]);
  }
}

}  // namespace

std::vector<PointMm> smoothed(const std::vector<TracedPoint>& chain) {
  const std::size_t n = chain.size();
  std::vector<PointMm> result;
  for (const TracedPoint& p : chain)
    result.push_back({p.x, p.y});
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
