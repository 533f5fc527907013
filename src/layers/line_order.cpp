#include "layers/line_order.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace powderplan {
namespace {

// Improvements are looked for among so many next in the order: all of them in most plans.
constexpr std::size_t window = 400;
constexpr int most_rounds = 30;
constexpr double least_gain_mm = 1e-6;

double distance(const PointMm& a, const PointMm& b) {
  return std::hypot(a.x - b.x, a.y - b.y);
}

// A path as the order sees it.
struct Stop {
  PointMm begin, end;
  std::size_t path = 0;
  bool turned = false;
};

void turn(Stop& stop) {
  std::swap(stop.begin, stop.end);
  stop.turned = !stop.turned;
}

bool is_ring(const LinePath& path) {
  return path.points.size() > 3 && path.points.front() == path.points.back();
}

void begin_ring_at(LinePath& path, std::size_t first) {
  path.points.pop_back();
  path.width_mm.pop_back();
  std::rotate(path.points.begin(), path.points.begin() + static_cast<std::ptrdiff_t>(first),
              path.points.end());
  std::rotate(path.width_mm.begin(), path.width_mm.begin() + static_cast<std::ptrdiff_t>(first),
              path.width_mm.end());
  path.points.push_back(path.points.front());
  path.width_mm.push_back(path.width_mm.front());
}

double travel_of(const std::vector<Stop>& order) {
  double sum = 0;
  for (std::size_t i = 1; i < order.size(); ++i)
    sum += distance(order[i - 1].end, order[i].begin);
  return sum;
}

// Always to the nearest end of a path not yet drawn, from the top left corner on.
std::vector<Stop> greedy(LinePlan& plan) {
  std::vector<std::size_t> left(plan.paths.size());
  for (std::size_t i = 0; i < left.size(); ++i)
    left[i] = i;
  std::vector<Stop> order;
  PointMm hand;
  while (!left.empty()) {
    double nearest = std::numeric_limits<double>::infinity();
    std::size_t place = 0, vertex = 0;
    for (std::size_t i = 0; i < left.size(); ++i) {
      const LinePath& path = plan.paths[left[i]];
      const bool ring = is_ring(path);
      const std::size_t step = ring ? 1 : path.points.size() - 1;
      for (std::size_t v = 0; v < path.points.size(); v += step) {
        if (const double far = distance(hand, path.points[v]); far < nearest) {
          nearest = far;
          place = i;
          vertex = v;
        }
      }
    }
    LinePath& path = plan.paths[left[place]];
    Stop stop;
    stop.path = left[place];
    if (is_ring(path)) {
      begin_ring_at(path, vertex % (path.points.size() - 1));
      vertex = 0;
    }
    stop.begin = path.points.front();
    stop.end = path.points.back();
    if (vertex != 0)
      turn(stop);
    hand = stop.end;
    order.push_back(stop);
    left.erase(left.begin() + static_cast<std::ptrdiff_t>(place));
  }
  return order;
}

// Turns round stretches of the order while that shortens the travel. The order is open at both ends.
bool two_opt(std::vector<Stop>& order) {
  bool any = false;
  const std::size_t n = order.size();
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t j = i; j < std::min(n, i + window); ++j) {
      double before = 0, after = 0;
      if (i > 0) {
        before += distance(order[i - 1].end, order[i].begin);
        after += distance(order[i - 1].end, order[j].end);
      }
      if (j + 1 < n) {
        before += distance(order[j].end, order[j + 1].begin);
        after += distance(order[i].begin, order[j + 1].begin);
      }
      if (after < before - least_gain_mm) {
        std::reverse(order.begin() + static_cast<std::ptrdiff_t>(i),
                     order.begin() + static_cast<std::ptrdiff_t>(j) + 1);
        for (std::size_t k = i; k <= j; ++k)
          turn(order[k]);
        any = true;
      }
    }
  }
  return any;
}

// Moves up to three stops in a row to a better place, either way round.
bool or_opt(std::vector<Stop>& order) {
  bool any = false;
  const std::size_t n = order.size();
  for (std::size_t count = 1; count <= 3 && count < n; ++count) {
    for (std::size_t i = 0; i + count <= n; ++i) {
      const Stop &first = order[i], &last = order[i + count - 1];
      const bool has_before = i > 0, has_after = i + count < n;
      double gain = 0;
      if (has_before)
        gain += distance(order[i - 1].end, first.begin);
      if (has_after)
        gain += distance(last.end, order[i + count].begin);
      if (has_before && has_after)
        gain -= distance(order[i - 1].end, order[i + count].begin);
      if (gain <= least_gain_mm)
        continue;
      double best = gain - least_gain_mm;
      std::size_t best_place = n;
      bool best_turned = false;
      // Into the gap before stop k; k = n: at the end.
      const std::size_t from = i > window / 2 ? i - window / 2 : 0, to = std::min(n, i + count + window / 2);
      for (std::size_t k = from; k <= to; ++k) {
        if (k >= i && k <= i + count)
          continue;
        const double here = k > 0 && k < n ? distance(order[k - 1].end, order[k].begin) : 0;
        for (const bool turned : {false, true}) {
          double cost = -here;
          if (k > 0)
            cost += distance(order[k - 1].end, turned ? last.end : first.begin);
          if (k < n)
            cost += distance(turned ? first.begin : last.end, order[k].begin);
          if (cost < best) {
            best = cost;
            best_place = k;
            best_turned = turned;
          }
        }
      }
      if (best_place == n && best >= gain - least_gain_mm)
        continue;
      const auto at = [&](std::size_t k) { return order.begin() + static_cast<std::ptrdiff_t>(k); };
      if (best_turned) {
        std::reverse(at(i), at(i + count));
        for (std::size_t k = i; k < i + count; ++k)
          turn(order[k]);
      }
      if (best_place < i)
        std::rotate(at(best_place), at(i), at(i + count));
      else
        std::rotate(at(i), at(i + count), at(best_place));
      any = true;
    }
  }
  return any;
}

// How much the order goes from the top left to the bottom right: the later, the farther along.
double downwards(const std::vector<Stop>& order) {
  double sum = 0;
  const double middle = (static_cast<double>(order.size()) - 1) / 2;
  for (std::size_t i = 0; i < order.size(); ++i) {
    const Stop& s = order[i];
    sum += (static_cast<double>(i) - middle) * (s.begin.x + s.begin.y + s.end.x + s.end.y);
  }
  return sum;
}

}  // namespace

void order_paths(LinePlan& plan) {
  std::vector<Stop> order = greedy(plan);
  for (int round = 0; round < most_rounds; ++round) {
    const bool turned = two_opt(order), moved = or_opt(order);
    if (!turned && !moved)
      break;
  }
  if (downwards(order) < 0) {
    std::reverse(order.begin(), order.end());
    std::for_each(order.begin(), order.end(), turn);
  }
  std::vector<LinePath> paths;
  for (const Stop& stop : order) {
    LinePath& path = plan.paths[stop.path];
    if (stop.turned) {
      std::reverse(path.points.begin(), path.points.end());
      std::reverse(path.width_mm.begin(), path.width_mm.end());
    }
    paths.push_back(std::move(path));
  }
  plan.paths = std::move(paths);
  plan.travel_mm = travel_of(order);
}

}  // namespace powderplan
