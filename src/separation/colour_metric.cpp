#include "separation/colour_metric.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "wide_vectors.h"

namespace powderplan {
namespace {

constexpr std::size_t lanes = colours_in_a_block;
constexpr float far_away = 1e4F;

}  // namespace

LabColumns::LabColumns(std::size_t count) {
  const std::size_t padded = (count + lanes - 1) / lanes * lanes;
  l.assign(padded, far_away);
  a.assign(padded, far_away);
  b.assign(padded, far_away);
}

LabColumns::LabColumns(const std::vector<Lab>& colours) : LabColumns(colours.size()) {
  for (std::size_t i = 0; i < colours.size(); ++i) {
    l[i] = static_cast<float>(colours[i].l);
    a[i] = static_cast<float>(colours[i].a);
    b[i] = static_cast<float>(colours[i].b);
  }
}

LocalMetric::LocalMetric(const Lab& wanted)
    : l_(static_cast<float>(wanted.l)), a_(static_cast<float>(wanted.a)), b_(static_cast<float>(wanted.b)) {
  constexpr double degree = std::numbers::pi / 180;
  constexpr double c25_7 = 6103515625.0;  // 25^7
  const auto share = [](double c) { return std::sqrt(std::pow(c, 7) / (std::pow(c, 7) + c25_7)); };
  const double stretch = 1 + 0.5 * (1 - share(std::hypot(wanted.a, wanted.b)));
  const double a = stretch * wanted.a, chroma = std::hypot(a, wanted.b);
  const double hue = chroma > 0 ? std::atan2(wanted.b, a) : 0.0;
  const double t = 1 - 0.17 * std::cos(hue - 30 * degree) + 0.24 * std::cos(2 * hue) +
                   0.32 * std::cos(3 * hue + 6 * degree) - 0.20 * std::cos(4 * hue - 63 * degree);
  const double l50 = (wanted.l - 50) * (wanted.l - 50);
  const double s_l = 1 + 0.015 * l50 / std::sqrt(20 + l50);
  const double s_c = 1 + 0.045 * chroma, s_h = 1 + 0.015 * chroma * t;
  const double from_blue = (hue < 0 ? hue + 2 * std::numbers::pi : hue) / degree - 275;
  const double turn = 30 * degree * std::exp(-from_blue * from_blue / 625);
  const double r_t = -std::sin(2 * turn) * 2 * share(chroma);

  // Chroma and hue differences as linear functions of da, db; the mixed term is folded into the first by
  // completing the square: c^2 + h^2 + r c h = (c + r/2 h)^2 + (1 - r^2/4) h^2.
  const double c1 = std::cos(hue) * stretch / s_c, c2 = std::sin(hue) / s_c;
  const double h1 = -std::sin(hue) * stretch / s_h, h2 = std::cos(hue) / s_h;
  const double rest = std::sqrt(std::max(0.0, 1 - r_t * r_t / 4));
  light_ = static_cast<float>(1 / s_l);
  a1_ = static_cast<float>(c1 + r_t / 2 * h1);
  a2_ = static_cast<float>(c2 + r_t / 2 * h2);
  b1_ = static_cast<float>(rest * h1);
  b2_ = static_cast<float>(rest * h2);
}

double LocalMetric::square_distance(const Lab& other) const {
  const double dl = light_ * (other.l - l_), da = other.a - a_, db = other.b - b_;
  const double u = a1_ * da + a2_ * db, v = b1_ * da + b2_ * db;
  return dl * dl + u * u + v * v;
}

POWDERPLAN_WIDE_VECTORS
float LocalMetric::nearest(const LabColumns& colours) const {
  std::array<float, lanes> least;
  least.fill(1e30F);
  // Plain locals and pointers: the compiler must see that nothing here overlaps.
  const float l0 = l_, a0 = a_, b0 = b_, light = light_, a1 = a1_, a2 = a2_, b1 = b1_, b2 = b2_;
  const float* const l = colours.l.data();
  const float* const a = colours.a.data();
  const float* const b = colours.b.data();
  const std::size_t count = colours.l.size();
  for (std::size_t i = 0; i < count; i += lanes) {
    for (std::size_t k = 0; k < lanes; ++k) {
      const float dl = light * (l[i + k] - l0), da = a[i + k] - a0, db = b[i + k] - b0;
      const float u = a1 * da + a2 * db, v = b1 * da + b2 * db;
      const float d = dl * dl + u * u + v * v;
      least[k] = d < least[k] ? d : least[k];
    }
  }
  return *std::min_element(least.begin(), least.end());
}

}  // namespace powderplan
