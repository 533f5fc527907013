#include "layers/bridge_line.h"

#include <cmath>
#include <limits>

namespace powderplan {
namespace {

constexpr double worst = std::numeric_limits<double>::infinity();

double length_of(cv::Point v) {
  return std::sqrt(static_cast<double>(v.dot(v)));
}

// The way's points that may become corners: evenly along it, both ends among them.
std::vector<cv::Point> possible_corners(const std::vector<cv::Point>& way) {
  constexpr std::size_t most = 40;
  const std::size_t pieces = std::min(most, way.size() - 1);
  std::vector<cv::Point> corners{way.front()};
  for (std::size_t i = 1; i <= pieces; ++i)
    corners.push_back(way[i * (way.size() - 1) / pieces]);
  return corners;
}

// The cheapest line through some of the corners, from the first to the last.
std::vector<cv::Point> cheapest_through(const BridgeGround& ground, const std::vector<cv::Point>& corners,
                                        double cost_of_bend) {
  std::vector<double> best(corners.size(), worst);
  std::vector<std::size_t> before(corners.size(), 0);
  best[0] = 0;
  for (std::size_t to = 1; to < corners.size(); ++to) {
    for (std::size_t from = 0; from < to; ++from) {
      const double cost =
          best[from] + cost_of_line(ground, corners[from], corners[to]) + (from > 0 ? cost_of_bend : 0);
      if (cost < best[to]) {
        best[to] = cost;
        before[to] = from;
      }
    }
  }
  std::vector<cv::Point> line;
  for (std::size_t at = corners.size() - 1; at > 0; at = before[at])
    line.push_back(corners[at]);
  line.push_back(corners[0]);
  return {line.rbegin(), line.rend()};
}

bool inside(const BridgeGround& ground, cv::Point p) {
  return p.x >= 0 && p.y >= 0 && p.x < ground.size().width && p.y < ground.size().height;
}

void settle(const BridgeGround& ground, std::vector<cv::Point>& line, const MayStand& first_may_stand,
            const MayStand& last_may_stand) {
  const auto cost_beside = [&](std::size_t i) {
    double cost = 0;
    if (i > 0)
      cost += cost_of_line(ground, line[i - 1], line[i]);
    if (i + 1 < line.size())
      cost += cost_of_line(ground, line[i], line[i + 1]);
    return cost;
  };
  const auto may_stand = [&](std::size_t i) {
    return (i > 0 || first_may_stand(line[i])) && (i + 1 < line.size() || last_may_stand(line[i]));
  };
  for (int stride = 8; stride >= 1; stride /= 2) {
    constexpr int most_rounds = 12;  // it ends by itself, as the cost falls; this bounds the time
    bool better = true;
    for (int round = 0; round < most_rounds && better; ++round) {
      better = false;
      for (std::size_t i = 0; i < line.size(); ++i) {
        const cv::Point stood = line[i];
        cv::Point best = stood;
        double least = cost_beside(i) * (1 - 1e-9);
        for (int way = 0; way < 9; ++way) {
          line[i] = stood + cv::Point(way % 3 - 1, way / 3 - 1) * stride;
          if (way == 4 || !inside(ground, line[i]) || !may_stand(i))
            continue;
          const double cost = cost_beside(i);
          if (cost < least) {
            least = cost;
            best = line[i];
          }
        }
        line[i] = best;
        better = better || best != stood;
      }
    }
  }
}

}  // namespace

double cost_of_line(const BridgeGround& ground, cv::Point from, cv::Point to) {
  const cv::Point way = to - from;
  const int steps = std::max(std::abs(way.x), std::abs(way.y));
  if (steps == 0)
    return 0;
  // Rounded to the nearest, in whole numbers: the same from either end but for ties. `over_x` and `over_y`
  // are what is past the middle between two points, in shares of a point of which there are 2 * steps.
  const cv::Point towards(way.x < 0 ? -1 : 1, way.y < 0 ? -1 : 1);
  int x = from.x, y = from.y, over_x = steps, over_y = steps;
  double sum = 0;
  for (int i = 0; i <= steps; ++i) {
    const double cost = ground.cost_at(x, y);
    sum += i == 0 || i == steps ? cost / 2 : cost;
    over_x += 2 * std::abs(way.x);
    if (over_x >= 2 * steps) {
      over_x -= 2 * steps;
      x += towards.x;
    }
    over_y += 2 * std::abs(way.y);
    if (over_y >= 2 * steps) {
      over_y -= 2 * steps;
      y += towards.y;
    }
  }
  return sum * length_of(way) / steps;
}

std::vector<cv::Point> straightened(const BridgeGround& ground, const std::vector<cv::Point>& way,
                                    const MayStand& first_may_stand, const MayStand& last_may_stand) {
  if (way.size() < 2)
    return way;
  const std::vector<cv::Point> corners = possible_corners(way);
  double cost = 0;
  for (std::size_t i = 1; i < corners.size(); ++i)
    cost += cost_of_line(ground, corners[i - 1], corners[i]);
  constexpr double worth_a_bend = 0.05;
  std::vector<cv::Point> line = cheapest_through(ground, corners, worth_a_bend * cost);
  settle(ground, line, first_may_stand, last_may_stand);
  return line;
}

std::vector<cv::Point> shortened(const BridgeGround& ground, cv::Point first, cv::Point last,
                                 const MayStand& first_may_stand, const MayStand& last_may_stand) {
  const auto nearest = [&](cv::Point to, cv::Point now, const MayStand& may_stand) {
    const auto squared = [](cv::Point v) { return v.x * v.x + v.y * v.y; };
    int least = squared(now - to);
    cv::Point best = now;
    const int reach = static_cast<int>(std::ceil(length_of(now - to)));
    for (int y = -reach; y <= reach; ++y) {
      for (int x = -reach; x <= reach; ++x) {
        const cv::Point p = to + cv::Point(x, y);
        if (squared(p - to) < least && inside(ground, p) && may_stand(p)) {
          least = squared(p - to);
          best = p;
        }
      }
    }
    return best;
  };
  for (;;) {
    const cv::Point new_first = nearest(last, first, first_may_stand);
    const cv::Point new_last = nearest(new_first, last, last_may_stand);
    if (new_first == first && new_last == last)
      return {first, last};
    first = new_first;
    last = new_last;
  }
}

std::vector<cv::Point> points_along(const std::vector<cv::Point>& line, bool by_corner) {
  std::vector<cv::Point> points{line.front()};
  for (std::size_t i = 1; i < line.size(); ++i) {
    const cv::Point from = line[i - 1], way = line[i] - from;
    const int steps = std::max(std::abs(way.x), std::abs(way.y));
    const auto nearest = [&](int k, int whole) {
      return (2 * k * whole + (whole < 0 ? -steps : steps)) / (2 * steps);
    };
    for (int k = 1; k <= steps; ++k) {
      const cv::Point next(from.x + nearest(k, way.x), from.y + nearest(k, way.y));
      if (!by_corner && next.x != points.back().x && next.y != points.back().y)
        points.emplace_back(next.x, points.back().y);
      points.push_back(next);
    }
  }
  return points;
}

}  // namespace powderplan
