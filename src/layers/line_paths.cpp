#include "layers/line_paths.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <opencv2/imgproc.hpp>
#include <optional>

#include "layers/line_graph.h"
#include "layers/line_order.h"
#include "parallel.h"
#include "separation/thinning.h"

namespace powderplan {
namespace {

// All in points of the grid until the end.
constexpr double sample_step = 0.25;   // across a stroke
constexpr double smooth_middle = 1.0;  // standard deviation along the line
constexpr double smooth_width = 3.0;
constexpr double nothing = 0.02;  // cover that is none

struct Traced {
  std::vector<PointMm> points;
  std::vector<double> widths;
  bool closed = false, free_start = false, free_end = false;
};

double distance(const PointMm& a, const PointMm& b) {
  return std::hypot(a.x - b.x, a.y - b.y);
}

// Cover between points, 0 beyond the edge.
class Cover {
 public:
  explicit Cover(const cv::Mat& values) : values_(values) {}
  [[nodiscard]] double at(const PointMm& p) const {
    const int x = static_cast<int>(std::floor(p.x)), y = static_cast<int>(std::floor(p.y));
    const double u = p.x - x, v = p.y - y;
    return (1 - v) * ((1 - u) * point(x, y) + u * point(x + 1, y)) +
           v * ((1 - u) * point(x, y + 1) + u * point(x + 1, y + 1));
  }

 private:
  [[nodiscard]] double point(int x, int y) const {
    if (x < 0 || y < 0 || x >= values_.cols || y >= values_.rows)
      return 0;
    return values_.at<std::uint8_t>(y, x) / 255.0;
  }
  const cv::Mat& values_;
};

// Points a step of one apart along the line; the last one may be nearer.
Traced resampled(const Chain& chain, std::vector<bool>& measurable) {
  Traced traced;
  traced.closed = chain.closed;
  traced.free_start = chain.free_start;
  traced.free_end = chain.free_end;
  const std::size_t n = chain.points.size(), segments = chain.closed ? n : n - 1;
  measurable.clear();
  traced.points.push_back(chain.points[0]);
  measurable.push_back(chain.measurable[0]);
  for (std::size_t i = 0; i < segments; ++i) {
    const PointMm &a = chain.points[i], &b = chain.points[(i + 1) % n];
    const bool good = chain.measurable[i] && chain.measurable[(i + 1) % n];
    const double length = distance(a, b);
    const int steps = std::max(1, static_cast<int>(std::lround(length)));
    // A longer jump leads through a junction.
    const bool inside = good && length < 3;
    for (int s = 1; s <= steps; ++s) {
      if (chain.closed && i + 1 == segments && s == steps)
        break;
      const double share = s / static_cast<double>(steps);
      traced.points.push_back({a.x + share * (b.x - a.x), a.y + share * (b.y - a.y)});
      measurable.push_back(s == steps ? static_cast<bool>(chain.measurable[(i + 1) % n]) : inside);
    }
  }
  return traced;
}

// The mean round each value, with weights of a normal curve along the line; ends stay as they are when asked.
template <class Value, class Add>
std::vector<Value> smoothed(const std::vector<Value>& values, double deviation, bool closed, Add&& add) {
  const auto n = static_cast<std::ptrdiff_t>(values.size());
  const auto reach = static_cast<std::ptrdiff_t>(std::ceil(3 * deviation));
  std::vector<Value> out(values.size());
  for (std::ptrdiff_t i = 0; i < n; ++i) {
    // Near an open end the reach is the same on both sides, so that the end stays in its place.
    const std::ptrdiff_t here = closed ? std::min(reach, (n - 1) / 2) : std::min({reach, i, n - 1 - i});
    double total = 0;
    Value sum{};
    for (std::ptrdiff_t k = -here; k <= here; ++k) {
      const double z = static_cast<double>(k) / deviation, weight = std::exp(-0.5 * z * z);
      add(sum, values[static_cast<std::size_t>((i + k + n) % n)], weight);
      total += weight;
    }
    Value mean{};
    add(mean, sum, 1 / total);
    out[static_cast<std::size_t>(i)] = mean;
  }
  return out;
}

void smooth_points(Traced& line, double deviation) {
  line.points =
      smoothed(line.points, deviation, line.closed, [](PointMm& sum, const PointMm& p, double weight) {
        sum.x += weight * p.x;
        sum.y += weight * p.y;
      });
}

void smooth_widths(Traced& line, double deviation) {
  line.widths = smoothed(line.widths, deviation, line.closed,
                         [](double& sum, double value, double weight) { sum += weight * value; });
}

// The unit vector along the line, over two steps to either side.
PointMm tangent_at(const Traced& line, std::size_t i) {
  const auto n = static_cast<std::ptrdiff_t>(line.points.size());
  const auto at = [&](std::ptrdiff_t k) {
    return line.points[static_cast<std::size_t>(line.closed ? (k + n) % n
                                                            : std::clamp<std::ptrdiff_t>(k, 0, n - 1))];
  };
  const auto here = static_cast<std::ptrdiff_t>(i);
  const PointMm a = at(here - 2), b = at(here + 2);
  const double length = distance(a, b);
  return length > 0 ? PointMm{(b.x - a.x) / length, (b.y - a.y) / length} : PointMm{1, 0};
}

struct Section {
  double width = 0, offset = 0;
};

// Across the stroke at a point: how much of it there is, and how far its middle lies to the left of the line.
// Ends where there is nothing any more, where another stroke begins, and at `reach`.
Section section_at(const Cover& cover, const PointMm& p, const PointMm& along, double reach) {
  double area = 0, moment = 0;
  for (const double side : {-1.0, 1.0}) {
    double least = 1;
    for (int i = 0; (i + 0.5) * sample_step < reach; ++i) {
      const double t = (i + 0.5) * sample_step;
      const double value = cover.at({p.x - side * t * along.y, p.y + side * t * along.x});
      least = std::min(least, value);
      if (value < nothing || (least < 0.5 && value > least + 0.1))
        break;
      area += value * sample_step;
      moment += value * sample_step * side * t;
    }
  }
  return {area, area > 0 ? moment / area : 0};
}

// Fills in what could not be measured, evenly between what could.
void bridge(std::vector<double>& values, const std::vector<bool>& known, bool closed, double otherwise) {
  const std::size_t n = values.size();
  std::vector<std::size_t> places;
  for (std::size_t i = 0; i < n; ++i) {
    if (known[i])
      places.push_back(i);
  }
  if (places.empty()) {
    std::fill(values.begin(), values.end(), otherwise);
    return;
  }
  for (std::size_t k = 0; k + 1 < places.size(); ++k) {
    for (std::size_t i = places[k] + 1; i < places[k + 1]; ++i) {
      const double share =
          static_cast<double>(i - places[k]) / static_cast<double>(places[k + 1] - places[k]);
      values[i] = values[places[k]] + share * (values[places[k + 1]] - values[places[k]]);
    }
  }
  const double first = values[places.front()], last = values[places.back()];
  for (std::size_t i = 0; i < places.front(); ++i)
    values[i] = closed ? (first + last) / 2 : first;
  for (std::size_t i = places.back() + 1; i < n; ++i)
    values[i] = closed ? (first + last) / 2 : last;
}

double depth_at(const cv::Mat& depth, const PointMm& p) {
  const int x = std::clamp(static_cast<int>(std::lround(p.x)), 0, depth.cols - 1);
  const int y = std::clamp(static_cast<int>(std::lround(p.y)), 0, depth.rows - 1);
  return depth.at<float>(y, x);
}

// The middle of three, to throw out single wild values.
void drop_outliers(std::vector<double>& values) {
  const std::vector<double> before = values;
  for (std::size_t i = 1; i + 1 < values.size(); ++i)
    values[i] = std::max(std::min(before[i - 1], before[i]),
                         std::min(std::max(before[i - 1], before[i]), before[i + 1]));
}

void measure(Traced& line, const std::vector<bool>& measurable, const Cover& cover, const cv::Mat& depth) {
  for (int round = 0; round < 2; ++round) {
    smooth_points(line, round == 0 ? 2 * smooth_middle : smooth_middle);
    std::vector<double> offsets(line.points.size());
    line.widths.assign(line.points.size(), 0);
    for (std::size_t i = 0; i < line.points.size(); ++i) {
      if (!measurable[i])
        continue;
      const double inside = depth_at(depth, line.points[i]);
      const Section section = section_at(cover, line.points[i], tangent_at(line, i), inside + 2);
      line.widths[i] = section.width;
      offsets[i] = section.offset;
    }
    bridge(line.widths, measurable, line.closed, 0);
    bridge(offsets, measurable, line.closed, 0);
    drop_outliers(line.widths);
    drop_outliers(offsets);
    std::vector<PointMm> moved = line.points;
    for (std::size_t i = 0; i < moved.size(); ++i) {
      if (!measurable[i])
        continue;
      const PointMm along = tangent_at(line, i);
      moved[i].x -= offsets[i] * along.y;
      moved[i].y += offsets[i] * along.x;
    }
    line.points = std::move(moved);
  }
  smooth_points(line, smooth_middle);
  smooth_widths(line, smooth_width);
}

// Moves free ends so that the round end of the line touches the end of the stroke.
void settle_end(Traced& line, bool at_start, const Cover& cover, double least_width) {
  if (line.points.size() < 2)
    return;
  if (at_start) {
    std::reverse(line.points.begin(), line.points.end());
    std::reverse(line.widths.begin(), line.widths.end());
  }
  const std::size_t last = line.points.size() - 1, before = last >= 6 ? last - 6 : 0;
  const double length = distance(line.points[before], line.points[last]);
  if (length > 0) {
    const PointMm along{(line.points[last].x - line.points[before].x) / length,
                        (line.points[last].y - line.points[before].y) / length};
    double tip = 0;
    const double reach = line.widths[last] + 3;
    while (tip < reach &&
           cover.at({line.points[last].x + tip * along.x, line.points[last].y + tip * along.y}) >= 0.5)
      tip += sample_step;
    const double on = tip - std::max(line.widths[last], least_width) / 2;
    if (on > 0) {
      line.points.push_back({line.points[last].x + on * along.x, line.points[last].y + on * along.y});
      line.widths.push_back(line.widths[last]);
    }
  }
  if (at_start) {
    std::reverse(line.points.begin(), line.points.end());
    std::reverse(line.widths.begin(), line.widths.end());
  }
}

// How far a point is from where the simplified line passes it, in its place or in its edge.
double error_of(const Traced& line, std::size_t a, std::size_t b, std::size_t i) {
  const PointMm &p = line.points[a], &q = line.points[b], &r = line.points[i];
  const double dx = q.x - p.x, dy = q.y - p.y, square = dx * dx + dy * dy;
  const double share =
      square > 0 ? std::clamp(((r.x - p.x) * dx + (r.y - p.y) * dy) / square, 0.0, 1.0) : 0.0;
  const double away = std::hypot(r.x - p.x - share * dx, r.y - p.y - share * dy);
  return std::max(away,
                  std::abs(line.widths[a] + share * (line.widths[b] - line.widths[a]) - line.widths[i]));
}

// Douglas and Peucker (1973), on place and width together.
void keep_between(const Traced& line, std::size_t a, std::size_t b, double tolerance,
                  std::vector<bool>& kept) {
  std::vector<std::pair<std::size_t, std::size_t>> open{{a, b}};
  while (!open.empty()) {
    const auto [from, to] = open.back();
    open.pop_back();
    double worst = tolerance;
    std::size_t at = from;
    for (std::size_t i = from + 1; i < to; ++i) {
      if (const double error = error_of(line, from, to, i); error > worst) {
        worst = error;
        at = i;
      }
    }
    if (at != from) {
      kept[at] = true;
      open.emplace_back(from, at);
      open.emplace_back(at, to);
    }
  }
}

void simplify(Traced& line, double tolerance) {
  if (line.closed) {  // becomes a line whose last point is its first
    line.points.push_back(line.points.front());
    line.widths.push_back(line.widths.front());
  }
  const std::size_t n = line.points.size();
  std::vector<bool> kept(n);
  kept.front() = kept.back() = true;
  if (line.closed) {
    kept[n / 2] = true;
    keep_between(line, 0, n / 2, tolerance, kept);
    keep_between(line, n / 2, n - 1, tolerance, kept);
  } else {
    keep_between(line, 0, n - 1, tolerance, kept);
  }
  Traced simple = line;
  simple.points.clear();
  simple.widths.clear();
  for (std::size_t i = 0; i < n; ++i) {
    if (kept[i]) {
      simple.points.push_back(line.points[i]);
      simple.widths.push_back(line.widths[i]);
    }
  }
  line = std::move(simple);
}

// A free end of a line, and the way it points.
struct FreeEnd {
  std::size_t line = 0;
  bool start = false;
  PointMm at, along;
};

std::vector<FreeEnd> free_ends(const std::vector<Traced>& lines) {
  std::vector<FreeEnd> ends;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const Traced& line = lines[i];
    if (line.closed || line.points.size() < 2)
      continue;
    for (const bool start : {true, false}) {
      if (!(start ? line.free_start : line.free_end))
        continue;
      const std::size_t n = line.points.size(), back = std::min<std::size_t>(n - 1, 6);
      const PointMm tip = start ? line.points[0] : line.points[n - 1];
      const PointMm inner = start ? line.points[back] : line.points[n - 1 - back];
      const double length = distance(tip, inner);
      if (length > 0)
        ends.push_back({i, start, tip, {(tip.x - inner.x) / length, (tip.y - inner.y) / length}});
    }
  }
  return ends;
}

void turn_round(Traced& line) {
  std::reverse(line.points.begin(), line.points.end());
  std::reverse(line.widths.begin(), line.widths.end());
  std::swap(line.free_start, line.free_end);
}

// Joins lines across gaps where both ends point at each other, nearest first.
void join_gaps(std::vector<Traced>& lines, double gap, double most_turn_deg) {
  const double straight = std::cos(most_turn_deg * std::numbers::pi / 180);
  std::vector<FreeEnd> ends = free_ends(lines);
  std::stable_sort(ends.begin(), ends.end(),
                   [](const FreeEnd& a, const FreeEnd& b) { return a.at.x < b.at.x; });
  struct Link {
    double length;
    std::size_t a, b;
  };
  std::vector<Link> links;
  for (std::size_t i = 0; i < ends.size(); ++i) {
    for (std::size_t j = i + 1; j < ends.size() && ends[j].at.x - ends[i].at.x <= gap; ++j) {
      const FreeEnd &a = ends[i], &b = ends[j];
      const double length = distance(a.at, b.at);
      if (length > gap || length <= 0)
        continue;
      const PointMm way{(b.at.x - a.at.x) / length, (b.at.y - a.at.y) / length};
      if (a.along.x * way.x + a.along.y * way.y >= straight &&
          -(b.along.x * way.x + b.along.y * way.y) >= straight)
        links.push_back({length, i, j});
    }
  }
  std::stable_sort(links.begin(), links.end(),
                   [](const Link& a, const Link& b) { return a.length < b.length; });
  // Where the two ends of each line are now: a line that was joined to another lives on in that one.
  std::vector<std::size_t> lives_in(lines.size());
  for (std::size_t i = 0; i < lines.size(); ++i)
    lives_in[i] = i;
  std::vector<bool> used(ends.size());
  for (const Link& link : links) {
    if (used[link.a] || used[link.b])
      continue;
    used[link.a] = used[link.b] = true;
    const auto home = [&](std::size_t i) {
      while (lives_in[i] != i)
        i = lives_in[i];
      return i;
    };
    const std::size_t a = home(ends[link.a].line), b = home(ends[link.b].line);
    Traced &first = lines[a], &second = lines[b];
    if (a == b) {
      first.closed = first.points.size() > 2;
      continue;
    }
    if (first.points.back() != ends[link.a].at)
      turn_round(first);
    if (second.points.front() != ends[link.b].at)
      turn_round(second);
    first.points.insert(first.points.end(), second.points.begin(), second.points.end());
    first.widths.insert(first.widths.end(), second.widths.begin(), second.widths.end());
    first.free_end = second.free_end;
    second.points.clear();
    lives_in[b] = a;
  }
  std::erase_if(lines, [](const Traced& line) { return line.points.empty(); });
}

LinePath path_of(const Traced& line, double pitch) {
  LinePath path;
  for (std::size_t i = 0; i < line.points.size(); ++i) {
    path.points.push_back({(line.points[i].x + 0.5) * pitch, (line.points[i].y + 0.5) * pitch});
    path.width_mm.push_back(line.widths[i] * pitch);
  }
  for (std::size_t i = 1; i < path.points.size(); ++i)
    path.length_mm += distance(path.points[i - 1], path.points[i]);
  return path;
}

}  // namespace

LinePlan trace_lines(const Image<std::uint8_t>& strokes, const Grid& grid, const LineRules& rules) {
  Image<std::uint8_t> cover(strokes.width(), strokes.height());
  for (std::size_t i = 0; i < cover.size(); ++i)
    cover[i] = strokes[i] != 0 ? 255 : 0;
  return trace_lines(strokes, cover, grid, rules);
}

LinePlan trace_lines(const Image<std::uint8_t>& strokes, const Image<std::uint8_t>& cover, const Grid& grid,
                     const LineRules& rules) {
  LinePlan plan;
  if (strokes.empty())
    return plan;
  const double pitch = grid.pitch.value();
  const int width = strokes.width(), height = strokes.height();
  // Beyond the edge there is no stroke: a frame tells the distance so.
  cv::Mat framed = cv::Mat::zeros(height + 2, width + 2, CV_8U), far;
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x)
      framed.at<std::uint8_t>(y + 1, x + 1) = strokes.at(x, y) != 0 ? 1 : 0;
  }
  cv::distanceTransform(framed, far, cv::DIST_L2, cv::DIST_MASK_PRECISE);
  const cv::Mat depth = far(cv::Rect(1, 1, width, height));
  const std::vector<Chain> chains = chains_of(thinned(strokes), depth, rules.most_turn_deg);

  const cv::Mat covered(height, width, CV_8U, const_cast<std::uint8_t*>(cover.data()));
  const Cover look(covered);
  std::vector<Traced> lines(chains.size());
  for_each_block(chains.size(), [&](std::size_t i) {
    std::vector<bool> measurable;
    Traced line = resampled(chains[i], measurable);
    measure(line, measurable, look, depth);
    if (line.points.size() == 1) {  // a dot: a very short line
      line.points.push_back({line.points[0].x + 0.01, line.points[0].y});
      line.widths.push_back(line.widths[0]);
    }
    const double least = rules.least_width.value() / pitch;
    if (line.free_start)
      settle_end(line, true, look, least);
    if (line.free_end)
      settle_end(line, false, look, least);
    lines[i] = std::move(line);
  });
  join_gaps(lines, rules.gap.value() / pitch, rules.most_turn_deg);
  for (Traced& line : lines) {
    simplify(line, rules.tolerance.value() / pitch);
    plan.paths.push_back(path_of(line, pitch));
    plan.length_mm += plan.paths.back().length_mm;
  }
  order_paths(plan);
  return plan;
}

}  // namespace powderplan
