#include "raster/resample.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <utility>

namespace powderplan {
namespace {

// What one point takes from its pixels along one axis.
struct Taps {
  int first = 0;
  std::vector<float> weights;  // of pixels first, first + 1, ...; they add up to 1
  // The share of the point that lies on the picture.
  float covered = 0;
  // Index into `weights` of the pixel before the point when enlarging; -1 when shrinking.
  int between = -1;
};

double overlap(double a0, double a1, double b0, double b1) {
  return std::max(0.0, std::min(a1, b1) - std::max(a0, b0));
}

Taps area_taps(double begin, double end) {
  Taps taps;
  taps.first = static_cast<int>(std::floor(begin));
  const int last = std::max(taps.first + 1, static_cast<int>(std::ceil(end)));
  for (int i = taps.first; i < last; ++i)
    taps.weights.push_back(static_cast<float>(overlap(i, i + 1.0, begin, end) / (end - begin)));
  return taps;
}

// Weights of four neighbours at a position t in 0..1 between the middle two (Catmull and Rom 1974).
std::array<double, 4> catmull_rom(double t) {
  return {((-t + 2) * t - 1) * t / 2, ((3 * t - 5) * t * t + 2) / 2, ((-3 * t + 4) * t + 1) * t / 2,
          (t - 1) * t * t / 2};
}

// Pixels beyond the border repeat the one on it; they are folded into its weight.
Taps cubic_taps(double centre, int pixels) {
  const double position = centre - 0.5;
  const int before = static_cast<int>(std::floor(position));
  const auto weights = catmull_rom(position - before);
  const auto held = [pixels](int i) { return std::clamp(i, 0, pixels - 1); };
  Taps taps;
  taps.first = held(before - 1);
  taps.weights.assign(static_cast<std::size_t>(held(before + 2) - taps.first + 1), 0.0f);
  for (int i = 0; i < 4; ++i)
    taps.weights[static_cast<std::size_t>(held(before - 1 + i) - taps.first)] +=
        static_cast<float>(weights[static_cast<std::size_t>(i)]);
  taps.between = held(before) - taps.first;
  return taps;
}

std::vector<Taps> taps_of(const ResampleAxis& axis, int pixels) {
  const double inside_begin = std::max(0.0, axis.inside_begin);
  const double inside_end = std::min(static_cast<double>(pixels), axis.inside_end);
  std::vector<Taps> out;
  out.reserve(static_cast<std::size_t>(axis.points));
  for (int i = 0; i < axis.points; ++i) {
    const double begin = axis.begin + i * axis.scale, end = axis.begin + (i + 1) * axis.scale;
    const double covered = overlap(begin, end, inside_begin, inside_end) / axis.scale;
    // A sliver that thin is the rounding of the arithmetic above.
    if (covered < 1e-9) {
      out.emplace_back();
      continue;
    }
    const double from = std::max(begin, inside_begin), to = std::min(end, inside_end);
    out.push_back(axis.scale >= 1 ? area_taps(from, to) : cubic_taps((from + to) / 2, pixels));
    // Rounding must not leave a whole point almost opaque.
    out.back().covered = covered > 1 - 1e-9 ? 1.0f : static_cast<float>(covered);
    // area_taps may touch the pixel beyond the last one with weight 0.
    const int beyond = out.back().first + static_cast<int>(out.back().weights.size()) - pixels;
    if (beyond > 0)
      out.back().weights.resize(out.back().weights.size() - static_cast<std::size_t>(beyond));
  }
  return out;
}

using Line = std::vector<LinearPixel>;

void add(LinearPixel& sum, const LinearPixel& p, float weight) {
  sum.r += weight * p.r;
  sum.g += weight * p.g;
  sum.b += weight * p.b;
  sum.alpha += weight * p.alpha;
}

void hold_between(LinearPixel& value, const LinearPixel& a, const LinearPixel& b) {
  const auto hold = [](float v, float x, float y) { return std::clamp(v, std::min(x, y), std::max(x, y)); };
  value.r = hold(value.r, a.r, b.r);
  value.g = hold(value.g, a.g, b.g);
  value.b = hold(value.b, a.b, b.b);
  value.alpha = hold(value.alpha, a.alpha, b.alpha);
}

LinearPixel premultiplied(const LinearPixel& p) {
  return {p.r * p.alpha, p.g * p.alpha, p.b * p.alpha, p.alpha};
}

// The columns that any point needs.
struct Span {
  std::size_t begin = 0, end = 0;
};
Span columns_of(const std::vector<Taps>& taps, int width) {
  Span span{static_cast<std::size_t>(width), 0};
  for (const Taps& t : taps) {
    if (t.covered > 0) {
      span.begin = std::min(span.begin, static_cast<std::size_t>(t.first));
      span.end = std::max(span.end, static_cast<std::size_t>(t.first) + t.weights.size());
    }
  }
  return span;
}

// All pixels of the rows that one row of points takes, brought together to one line. `row` is room for one
// row of the picture; when enlarging, `next` too.
void gather_rows(const LightRows& picture, const Taps& taps, const Span& columns, Line& line, Line& row,
                 Line& next) {
  std::fill(line.begin(), line.end(), LinearPixel{0, 0, 0, 0});
  for (std::size_t i = 0; i < taps.weights.size(); ++i) {
    picture.row(taps.first + static_cast<int>(i), row.data());
    for (std::size_t x = columns.begin; x < columns.end; ++x)
      add(line[x], premultiplied(row[x]), taps.weights[i]);
  }
  if (taps.between < 0)
    return;
  const int before = taps.first + taps.between;
  next.resize(row.size());
  picture.row(before, row.data());
  picture.row(std::min(before + 1, picture.height - 1), next.data());
  for (std::size_t x = columns.begin; x < columns.end; ++x)
    hold_between(line[x], premultiplied(row[x]), premultiplied(next[x]));
}

LinearPixel gather_columns(const Line& line, const Taps& taps) {
  LinearPixel sum{0, 0, 0, 0};
  const std::size_t first = static_cast<std::size_t>(taps.first);
  for (std::size_t i = 0; i < taps.weights.size(); ++i)
    add(sum, line[first + i], taps.weights[i]);
  if (taps.between >= 0) {
    const std::size_t before = first + static_cast<std::size_t>(taps.between);
    hold_between(sum, line[before], line[std::min(before + 1, line.size() - 1)]);
  }
  return sum;
}

LinearPixel straight(const LinearPixel& p, float covered) {
  if (p.alpha <= 0 || covered <= 0)
    return {0, 0, 0, 0};
  const float alpha = std::min(p.alpha, 1.0f);
  return {p.r / p.alpha, p.g / p.alpha, p.b / p.alpha, alpha * covered};
}

}  // namespace

LightRows resample(LightRows picture, const ResampleAxis& across, const ResampleAxis& down) {
  struct Plan {
    LightRows picture;
    std::vector<Taps> x_taps, y_taps;
    Span columns;
  };
  const auto plan = std::make_shared<Plan>();
  plan->x_taps = taps_of(across, picture.width);
  plan->y_taps = taps_of(down, picture.height);
  plan->columns = columns_of(plan->x_taps, picture.width);
  plan->picture = std::move(picture);
  return {across.points, down.points, [plan](int y, LinearPixel* out) {
            const Taps& rows = plan->y_taps[static_cast<std::size_t>(y)];
            if (rows.covered <= 0) {
              std::fill_n(out, plan->x_taps.size(), LinearPixel{0, 0, 0, 0});
              return;
            }
            Line line(static_cast<std::size_t>(plan->picture.width)), row(line.size()), next;
            gather_rows(plan->picture, rows, plan->columns, line, row, next);
            for (const Taps& taps : plan->x_taps)
              *out++ = straight(gather_columns(line, taps), taps.covered * rows.covered);
          }};
}

}  // namespace powderplan
