#include "report/sifted_grains.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <tuple>
#include <vector>

namespace powderplan {
namespace {

constexpr double pi = std::numbers::pi;
// Edge of the cells whose grains are drawn together, in cold diameters.
constexpr double cell_grains = 2;
constexpr double grains_a_cell = most_covers * cell_grains * cell_grains / (pi / 4);
// Longest over shortest diameter of a grain, at most.
constexpr double longest_cold = 1.5, longest_melted = 1.2;
constexpr int corners = 5;
// How much of its radius the edge of a fully melted grain takes, to both sides. Below sqrt(3)/2, where the
// edge would reach the middle.
constexpr double softest_edge = 0.8, hardest_edge = 0.04, widest_edge = 0.86;

std::uint64_t mixed(std::uint64_t x) {  // splitmix64, Steele, Lea, Flood 2014 (from memory)
  x += 0x9e3779b97f4a7c15U;
  x = (x ^ (x >> 30)) * 0xbf58476d1ce4e5b9U;
  x = (x ^ (x >> 27)) * 0x94d049bb133111ebU;
  return x ^ (x >> 31);
}

// Four numbers in [0, 1) out of 64 bits.
std::array<double, 4> four_shares(std::uint64_t bits) {
  std::array<double, 4> shares{};
  for (std::size_t i = 0; i < 4; ++i)
    shares[i] = (static_cast<double>((bits >> (16 * i)) & 0xffffU) + 0.5) / 65536;
  return shares;
}

double share_of(std::uint64_t bits) {
  return (static_cast<double>(bits >> 11) + 0.5) * 0x1p-53;
}

// A Poisson number by its cumulative distribution, which for large means is taken as normal.
double poisson(double mean, std::uint64_t bits) {
  constexpr double many = 25;
  if (mean > many) {
    // Box and Muller 1958.
    const double one = share_of(bits), other = share_of(mixed(bits));
    return std::max(
        0.0, std::round(mean + std::sqrt(mean) * std::sqrt(-2 * std::log(one)) * std::cos(2 * pi * other)));
  }
  double left = share_of(bits), chance = std::exp(-mean);
  int number = 0;
  while (left > chance && number < 400) {
    left -= chance;
    ++number;
    chance *= mean / number;
  }
  return number;
}

// The form of a grain: a stretched disc, or a stretched polygon while it is cold.
struct Form {
  bool angular;
  double most_stretch;
  double radius;  // of a disc of the mean shadow, mm
  double edge;    // half the width of its soft edge, in its own radii
};

Form form_of(const GrainKind& kind, double step) {
  Form form{};
  form.angular = kind.values.matte >= 1;
  form.most_stretch = form.angular ? longest_cold : longest_melted;
  form.radius = spread_diameter(kind).value() / 2;
  const double melted = 1 - kind.values.matte;
  const double soft = hardest_edge + (softest_edge - hardest_edge) * melted * std::sqrt(melted);
  form.edge = std::min(widest_edge, std::max(soft, step / 2 / form.radius));
  return form;
}

// A disc whose edge falls off evenly between r (1 - e) and r (1 + e) has the shadow pi r^2 (1 + e^2/3).
double radius_with_edge(double edge) {
  return 1 / std::sqrt(1 + edge * edge / 3);
}

struct Place {
  double x, y;
};

// Cosine and sine of a share of a whole turn, of 1024 directions.
Place direction(double turn) {
  constexpr std::size_t count = 1024;
  static const std::array<Place, count> table = [] {
    std::array<Place, count> directions{};
    for (std::size_t i = 0; i < count; ++i) {
      const double angle = 2 * pi * static_cast<double>(i) / count;
      directions[i] = {std::cos(angle), std::sin(angle)};
    }
    return directions;
  }();
  return table[static_cast<std::size_t>(turn * count)];
}

struct Grain {
  double x, y;  // mm
  double mark;
  double xx, xy, yx, yy;  // from mm to its own radii
};

class Splatter {
 public:
  Splatter(const GrainKind& kind, const PointRows& rows, std::span<const float> covers,
           std::span<GrainPoint> points)
      : kind_(kind),
        rows_(rows),
        covers_(covers),
        points_(points),
        form_(form_of(kind, rows.step)),
        inner_(radius_with_edge(form_.edge)),
        steepest_(steepest_slope(kind.values)) {
    for (std::size_t i = 0; i < corners; ++i) {
      const double turn = 2 * pi * static_cast<double>(i) / corners;
      sides_[i] = {std::cos(turn), std::sin(turn)};
    }
    // A regular polygon whose sides are 1 from its middle.
    polygon_area_ = corners * std::tan(pi / corners) / pi;
  }

  // The grains of a cell that lie where the load is `most` covers.
  void add_cell(std::int64_t cx, std::int64_t cy, double most) {
    const double edge = kind_.cold.value() * cell_grains;
    const std::uint64_t bits = bits_of_place(kind_.seed, cx, cy);
    const int count = static_cast<int>(poisson(grains_a_cell, bits));
    for (int i = 0; i < count; ++i) {
      const std::uint64_t one = mixed(bits + static_cast<std::uint64_t>(i) + 1);
      const auto [u, v, mark, turn] = four_shares(one);
      if (mark * most_covers >= most)
        continue;
      const auto [size, stretch, other_turn, unused] = four_shares(mixed(one));
      (void)unused;
      grains_.push_back(grain({(static_cast<double>(cx) + u) * edge, (static_cast<double>(cy) + v) * edge},
                              mark * most_covers, size, stretch, turn, other_turn));
    }
  }

  // All of them, those that came first below.
  void lay_all() {
    // What is left open does not depend on their order; what lies on top does.
    if (steepest_ > 0)
      std::sort(grains_.begin(), grains_.end(), [](const Grain& a, const Grain& b) {
        return std::tie(a.mark, a.y, a.x) < std::tie(b.mark, b.y, b.x);
      });
    for (const Grain& grain : grains_)
      lay(grain);
  }

  // Furthest that a grain reaches from its middle, mm.
  [[nodiscard]] double reach() const {
    const double corner = form_.angular ? 1 / std::cos(pi / corners) : 1;
    return form_.radius * (1 + size_range) * std::sqrt(form_.most_stretch) * corner * (1 + form_.edge);
  }

 private:
  [[nodiscard]] Grain grain(const Place& at, double mark, double size, double stretch, double turn,
                            double other_turn) const {
    // Sizes are spread evenly about the mean; their squares must keep the mean shadow.
    const double range = 1 + (2 * size - 1) * size_range;
    double radius = form_.radius * range / std::sqrt(1 + size_range * size_range / 3);
    if (form_.angular)
      radius /= std::sqrt(polygon_area_);
    const double longer = std::sqrt(1 + (form_.most_stretch - 1) * stretch);
    const auto [c, s] = direction(turn);
    const auto [c2, s2] = direction(other_turn);
    // Turned, pulled longer, turned back by another angle, so that corners lie anywhere.
    const double a = c / longer / radius, b = s / longer / radius, d = -s * longer / radius,
                 e = c * longer / radius;
    return {at.x, at.y, mark, c2 * a - s2 * d, c2 * b - s2 * e, s2 * a + c2 * d, s2 * b + c2 * e};
  }

  [[nodiscard]] double distance(double u, double v) const {
    if (!form_.angular)
      return std::sqrt(u * u + v * v);
    double most = 0;
    for (const auto& [x, y] : sides_)
      most = std::max(most, x * u + y * v);
    return most;
  }

  void lay(const Grain& grain) const {
    const double far = reach();
    const auto first = [&](double at, double from) {
      return static_cast<int>(std::ceil((at - far - from) / rows_.step));
    };
    const auto last = [&](double at, double from) {
      return static_cast<int>(std::floor((at + far - from) / rows_.step));
    };
    const int x0 = std::max(0, first(grain.x, rows_.left)),
              x1 = std::min(rows_.width - 1, last(grain.x, rows_.left));
    const int y0 = std::max(0, first(grain.y, rows_.top)),
              y1 = std::min(rows_.height - 1, last(grain.y, rows_.top));
    const double outer = inner_ * (1 + form_.edge), fall = 1 / (2 * inner_ * form_.edge);
    for (int y = y0; y <= y1; ++y) {
      const double dy = rows_.top + y * rows_.step - grain.y;
      for (int x = x0; x <= x1; ++x) {
        const std::size_t at =
            static_cast<std::size_t>(y) * static_cast<std::size_t>(rows_.width) + static_cast<std::size_t>(x);
        if (static_cast<double>(covers_[at]) <= grain.mark)
          continue;
        const double dx = rows_.left + x * rows_.step - grain.x;
        const double r = distance(grain.xx * dx + grain.xy * dy, grain.yx * dx + grain.yy * dy);
        if (r >= outer)
          continue;
        const auto share = static_cast<float>(std::min(1.0, (outer - r) * fall));
        GrainPoint& point = points_[at];
        point.open *= 1 - share;
        if (steepest_ > 0) {
          // Downhill from the middle.
          const double length = std::sqrt(dx * dx + dy * dy);
          const double slope = length > 0 ? -steepest_ * std::min(1.0, r) / length : 0;
          point.slope_x += share * (static_cast<float>(slope * dx) - point.slope_x);
          point.slope_y += share * (static_cast<float>(slope * dy) - point.slope_y);
        }
      }
    }
  }

  const GrainKind& kind_;
  const PointRows& rows_;
  std::span<const float> covers_;
  std::span<GrainPoint> points_;
  Form form_;
  std::vector<Grain> grains_;
  double inner_, steepest_, polygon_area_ = 1;
  std::array<Place, corners> sides_{};
};

// How a round grain's shadow, with its soft edge, lies over its like: the overlap at distances that are
// evenly spread from 0 to where both end, over the shadow's area; distances in mean radii.
struct Overlaps {
  static constexpr int count = 32;
  double furthest = 0;
  std::array<double, count> share{};
};

Overlaps overlaps_of(const Form& form) {
  const double inner = radius_with_edge(form.edge), outer = inner * (1 + form.edge);
  const auto shadow = [&](double x, double y) {
    return std::clamp((outer - std::sqrt(x * x + y * y)) / (2 * inner * form.edge), 0.0, 1.0);
  };
  Overlaps overlaps;
  overlaps.furthest = 2 * outer;
  constexpr int steps = 40;
  const double step = 2 * outer / steps;
  for (int i = 0; i < Overlaps::count; ++i) {
    const double h = (i + 0.5) / Overlaps::count * overlaps.furthest;
    double sum = 0;
    for (int y = 0; y < steps; ++y) {
      for (int x = 0; x < steps; ++x) {
        const double at_x = (x + 0.5) * step - outer, at_y = (y + 0.5) * step - outer;
        sum += shadow(at_x, at_y) * shadow(at_x - h, at_y);
      }
    }
    overlaps.share[static_cast<std::size_t>(i)] = sum * step * step / pi;
  }
  return overlaps;
}

constexpr double most_over_a_point = 16;
// Of grains that lie on each other, about so much of each is seen: half.
constexpr double seen_of_a_grain = 0.5;

// Near a normal distribution: three even numbers.
float near_normal(std::uint64_t bits) {
  const auto [a, b, c, unused] = four_shares(bits);
  (void)unused;
  return static_cast<float>(2 * (a + b + c - 1.5));
}

}  // namespace

std::uint64_t bits_of_place(std::uint64_t seed, std::int64_t x, std::int64_t y) {
  return mixed(mixed(mixed(seed) ^ static_cast<std::uint64_t>(x)) ^ static_cast<std::uint64_t>(y));
}

Millimetres spread_diameter(const GrainKind& kind) {
  return kind.cold * std::sqrt(kind.values.spread);
}

double steepest_slope(const FinishValues& values) {
  return values.matte;
}

Millimetres coarsest_step(const GrainKind& kind) {
  return spread_diameter(kind) / 1.5;
}

void lay_grains(const GrainKind& kind, const PointRows& rows, std::span<const float> covers,
                std::span<GrainPoint> points) {
  const double most =
      covers.empty() ? 0 : static_cast<double>(*std::max_element(covers.begin(), covers.end()));
  if (most <= 0)
    return;
  Splatter splatter(kind, rows, covers, points);
  const double cell = kind.cold.value() * cell_grains, reach = splatter.reach();
  const auto number = [&](double mm) { return static_cast<std::int64_t>(std::floor(mm / cell)); };
  const double right = rows.left + (rows.width - 1) * rows.step,
               bottom = rows.top + (rows.height - 1) * rows.step;
  for (std::int64_t cy = number(rows.top - reach); cy <= number(bottom + reach); ++cy) {
    for (std::int64_t cx = number(rows.left - reach); cx <= number(right + reach); ++cx)
      splatter.add_cell(cx, cy, most);
  }
  splatter.lay_all();
}

UnevenCover::UnevenCover(const GrainKind& kind, Millimetres pixel)
    : seed_(kind.seed),
      cold_shadow_(pi / 4 * kind.cold.value() * kind.cold.value()),
      spread_(kind.values.spread),
      pixel_(pixel.value()) {
  const Form form = form_of(kind, 0);
  // One of both components of a slope that lies evenly in a disc has half its radius as its deviation.
  slope_ = steepest_slope(kind.values) / 2 *
           std::min(1.0, std::sqrt(seen_of_a_grain * cold_shadow_ * spread_) / pixel_);
  const Overlaps overlaps = overlaps_of(form);
  const double side = pixel_ / form.radius;  // of the area, in radii
  // Larger shadows among smaller ones weigh more: mean of r^4 over the square of the mean of r^2.
  const double sizes = (1 + 2 * size_range * size_range + std::pow(size_range, 4) / 5) /
                       std::pow(1 + size_range * size_range / 3, 2);
  for (std::size_t i = 1; i < log_variance_.size(); ++i) {
    const double over =
        most_over_a_point * static_cast<double>(i) / static_cast<double>(log_variance_.size() - 1);
    double sum = 0;
    for (int j = 0; j < Overlaps::count; ++j) {
      const double h = (j + 0.5) / Overlaps::count * overlaps.furthest, u = std::min(1.0, h / side);
      // A square moved by h in any direction, in the mean: for h up to its side.
      const double stays = 1 - 4 / pi * u + u * u / pi;
      sum += std::expm1(over * overlaps.share[static_cast<std::size_t>(j)]) * stays * 2 * pi * h;
    }
    sum *= sizes * overlaps.furthest / Overlaps::count / (side * side);
    log_variance_[i] = std::log(sum / over);
  }
  log_variance_[0] = log_variance_[1];
}

// Over the square of the mean.
double UnevenCover::variance(double over_a_point) const {
  const std::size_t last = log_variance_.size() - 1;
  const double at = std::min(over_a_point, most_over_a_point) / most_over_a_point * static_cast<double>(last);
  const auto below = std::min(static_cast<std::size_t>(at), last - 1);
  const double share = at - static_cast<double>(below);
  return over_a_point * std::exp(log_variance_[below] * (1 - share) + log_variance_[below + 1] * share);
}

// What follows from a load alone.
UnevenCover::Number UnevenCover::number_for(double covers) const {
  Number number;
  const double over_a_point = covers * spread_;
  number.mean = covers * pixel_ * pixel_ / cold_shadow_;
  // Each grain closes this share of what is open; so the mean of what is left is exp(-over_a_point), and its
  // variance, over the square of the mean, exp(mean taken^2) - 1.
  number.taken = std::min(0.95, std::sqrt(std::log1p(variance(over_a_point)) / number.mean));
  number.all_open = std::exp(-over_a_point + number.mean * number.taken);
  return number;
}

void UnevenCover::lay(const PointRows& rows, int across, std::span<const float> covers,
                      std::span<GrainPoint> points) const {
  float known = -1;
  Number number;
  const auto width = static_cast<std::size_t>(rows.width);
  // Of the pixel's middle.
  const auto place = [&](double first, int point) {
    return std::llround((first + (point + (across - 1) / 2.0) * rows.step) / pixel_ * 4);
  };
  for (int top = 0; top < rows.height; top += across) {
    for (int left = 0; left < rows.width; left += across) {
      const std::uint64_t bits = bits_of_place(seed_, place(rows.left, left), place(rows.top, top));
      GrainPoint pixel;
      if (slope_ > 0) {
        pixel.slope_x = static_cast<float>(slope_) * near_normal(mixed(bits));
        pixel.slope_y = static_cast<float>(slope_) * near_normal(mixed(bits + 1));
      }
      float drawn_for = -1;
      for (int y = top; y < std::min(rows.height, top + across); ++y) {
        for (int x = left; x < std::min(rows.width, left + across); ++x) {
          const std::size_t at = static_cast<std::size_t>(y) * width + static_cast<std::size_t>(x);
          const float cover = covers[at];
          if (cover <= 0)
            continue;
          if (cover != known)
            number = number_for(static_cast<double>(known = cover));
          if (cover != drawn_for) {
            drawn_for = cover;
            pixel.open =
                static_cast<float>(number.all_open * std::pow(1 - number.taken, poisson(number.mean, bits)));
          }
          points[at] = pixel;
        }
      }
    }
  }
}

}  // namespace powderplan
