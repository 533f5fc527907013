#include "report/sifted_grains.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <tuple>
#include <vector>

#include "report/grain_chance.h"
#include "report/grain_form.h"

namespace powderplan {
namespace {

constexpr double pi = std::numbers::pi;
// Edge of the cells whose grains are drawn together, in cold diameters.
constexpr double cell_grains = 2;
constexpr double grains_a_cell = most_covers * cell_grains * cell_grains / (pi / 4);
constexpr int corners = 5;

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
  GrainForm form_;
  std::vector<Grain> grains_;
  double inner_, steepest_, polygon_area_ = 1;
  std::array<Place, corners> sides_{};
};

}  // namespace

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

}  // namespace powderplan
