#include "colour/difference_keys.h"

#include <algorithm>
#include <array>
#include <bit>

#include "colour/difference_terms.h"
#include "wide_vectors.h"

namespace powderplan {
namespace {

// Nearly opposite hues: cosine of half their difference under 0.005.
constexpr float opposite = 0.005F * 0.005F;
// So many comparisons go through each step together: one after the other, each would wait for its own roots
// and quotients.
constexpr std::size_t at_a_time = 16;
constexpr std::size_t lanes = at_a_time * pairs_at_once;

// What the later steps need of the first.
struct Lanes {
  std::array<float, lanes> d_l, mean_l, d_c, d_h, c1, c2, mid_a, mid_b, t, r_t, mid_square;
};

}  // namespace

POWDERPLAN_WIDE_VECTORS
void quick_keys(const QuickPairs* pairs, std::size_t count, std::int32_t* keys) {
  Lanes v;
  for (std::size_t first = 0; first < count; first += at_a_time) {
    const std::size_t blocks = std::min(at_a_time, count - first);
    for (std::size_t i = 0; i < blocks; ++i) {
      const QuickLab one = pairs[first + i].one;
      const QuickLab* const others = pairs[first + i].others.data();
      for (std::size_t k = 0; k < pairs_at_once; ++k) {
        const std::size_t at = i * pairs_at_once + k;
        const terms::Plane p = terms::plane_of(one, others[k]);
        v.d_l[at] = others[k].l - one.l;
        v.mean_l[at] = 0.5F * (others[k].l + one.l);
        v.d_c[at] = p.d_c;
        v.d_h[at] = p.d_h;
        v.c1[at] = p.c1;
        v.c2[at] = p.c2;
        v.mid_a[at] = p.mid_a;
        v.mid_b[at] = p.mid_b;
      }
    }
    const std::size_t used = blocks * pairs_at_once;
    for (std::size_t at = 0; at < used; ++at) {
      const terms::MeanHue hue = terms::mean_hue(v.mid_a[at], v.mid_b[at]);
      v.t[at] = hue.t;
      v.r_t[at] = 2 * hue.rotation;
      v.mid_square[at] = hue.mid_square;
    }
    std::int32_t* const to = keys + first * pairs_at_once;
    for (std::size_t at = 0; at < used; ++at) {
      const float mean_c = 0.5F * (v.c1[at] + v.c2[at]);
      const float l50 = (v.mean_l[at] - 50) * (v.mean_l[at] - 50), l_root = std::sqrt(20 + l50);
      // One quotient for all three: l = d_l / (s_l_root / l_root), c = d_c / s_c, h = d_h / s_h.
      const float s_l_root = l_root + 0.015F * l50, s_c = 1 + 0.045F * mean_c,
                  s_h = 1 + 0.015F * mean_c * v.t[at];
      const float per_all = 1 / (s_l_root * s_c * s_h);
      const float l = v.d_l[at] * l_root * (s_c * s_h) * per_all;
      const float c = v.d_c[at] * (s_l_root * s_h) * per_all, h = v.d_h[at] * (s_l_root * s_c) * per_all;
      const float square = terms::form(l, c, h, v.r_t[at] * terms::seventh_power_share(mean_c));
      // The bits of a float that is not negative grow with it.
      const std::int32_t key =
          (std::bit_cast<std::int32_t>(square) & ~place_bits) | (static_cast<std::int32_t>(at) & place_bits);
      const float cc = v.c1[at] * v.c2[at];
      to[at] = v.mid_square[at] > 4 * opposite * cc * cc ? key : hues_opposite;
    }
  }
}

float square_of_key(std::int32_t key) {
  return std::bit_cast<float>(key & ~place_bits);
}

POWDERPLAN_WIDE_VECTORS
QuickWinner quick_winner(const std::int32_t* keys, std::size_t count) {
  // As a number without sign hues_opposite is the largest.
  std::uint32_t least = static_cast<std::uint32_t>(hues_opposite);
  for (std::size_t i = 0; i < count; ++i)
    least = std::min(least, static_cast<std::uint32_t>(keys[i]));
  QuickWinner r;
  r.least = r.limit = static_cast<std::int32_t>(least);
  if (r.least != hues_opposite) {
    // A colour may be nearest while d - e(d) <= b + e(b), b the least difference and e = error + share * d.
    // Its square then is at most (1 + u) * b^2 + w, for 2 * b * error <= error * (1 + b^2).
    constexpr auto error = static_cast<float>(2 * quick_de00_error),
                   share = static_cast<float>(quick_de00_share);
    constexpr float u = 5 * share + 2 * error, w = 2 * error;
    r.limit =
        std::bit_cast<std::int32_t>((1 + u) * std::bit_cast<float>(r.least | place_bits) + w) | place_bits;
  }
  std::uint32_t open = 0;
  for (std::size_t i = 0; i < count; ++i)
    open += keys[i] <= r.limit ? 1U : 0U;
  r.open = open;
  if (count > pairs_at_once)
    r.at = static_cast<std::size_t>(std::find(keys, keys + count, r.least) - keys);
  else
    r.at = r.least == hues_opposite ? 0 : static_cast<std::size_t>(r.least & place_bits);
  return r;
}

}  // namespace powderplan
