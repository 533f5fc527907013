#include "optics/quick_bands.h"

#include <algorithm>
#include <cmath>

#include "optics/surface.h"
#include "wide_vectors.h"

namespace powderplan {
namespace {

constexpr std::size_t last_node = 255;
constexpr std::size_t lanes = std::tuple_size_v<decltype(QuickBands::at)>;

QuickBands unscattered(const Spectrum& scatter) {
  return narrowed(per_band([](double s) { return std::exp(-s); }, scatter));
}

POWDERPLAN_WIDE_VECTORS
void mix(const QuickBands& low, const QuickBands& high, float share, QuickBands& __restrict into) {
  for (std::size_t i = 0; i < lanes; ++i)
    into.at[i] = low.at[i] + share * (high.at[i] - low.at[i]);
}

// Light from behind, through the lower surface, the stack, the upper surface; as in stack.cpp.
float through_window(float reflect, float transmit, float reflect_below, float straight, float outer,
                     float inside) {
  const float inner = outer * straight + inside * (1 - straight);
  const float bounce_above = 1 - inner * reflect;
  const float up = transmit * (1 - inner) / bounce_above;
  const float back = reflect_below + transmit * transmit * inner / bounce_above;
  return (1 - outer) * up / (1 - inner * back);
}

}  // namespace

QuickBands narrowed(const Spectrum& spectrum) {
  QuickBands bands;
  for (std::size_t i = 0; i < band_count; ++i)
    bands.at[i] = static_cast<float>(spectrum[i]);
  return bands;
}

QuickState narrowed_state(const StackState& state) {
  return {narrowed(state.reflect)};
}

QuickBehind narrowed_behind(const StackState& state) {
  return {narrowed(state.transmit), narrowed(state.reflect_below), unscattered(state.scatter)};
}

CoatTable::CoatTable(const PowderOptics& powder, const FinishValues& finish, Density density, Load most)
    : powder_(powder), finish_(finish), density_(density), most_(most), nodes_(last_node + 1) {}

const QuickCoat& CoatTable::node(std::size_t place) {
  Node& node = nodes_[place];
  if (!node.made) {
    const double root = static_cast<double>(place) / last_node;
    const CoveringLayer exact = covering_layer(powder_, most_ * (root * root), finish_, density_);
    node.coat = {static_cast<float>(exact.cover),
                 static_cast<float>(exact.matte),
                 static_cast<float>(*std::max_element(exact.transmit.begin(), exact.transmit.end())),
                 narrowed(exact.reflect),
                 narrowed(exact.transmit),
                 unscattered(exact.scatter)};
    node.made = true;
  }
  return node.coat;
}

const QuickCoat& CoatTable::of(Load load, QuickCoat& room) {
  const double place = std::sqrt(std::clamp(load / most_, 0.0, 1.0)) * last_node;
  const auto below = std::min(static_cast<std::size_t>(place), last_node - 1);
  const QuickCoat& high = node(below + 1);
  if (place >= last_node)
    return high;
  // By load, which is the square of the place.
  const auto low_place = static_cast<double>(below);
  const auto up = static_cast<float>((place * place - low_place * low_place) / (2 * low_place + 1));
  // The thinner a coat, the less it covers; what it is where it covers hardly changes. The lowest node has no
  // such part.
  const QuickCoat& low = below > 0 ? node(below) : high;
  const float least = below > 0 ? low.cover : 0;
  room.cover = least + up * (high.cover - least);
  room.matte = high.matte;
  room.clearest = low.clearest + up * (high.clearest - low.clearest);
  mix(low.reflect, high.reflect, up, room.reflect);
  mix(low.transmit, high.transmit, up, room.transmit);
  mix(low.straight, high.straight, up, room.straight);
  return room;
}

POWDERPLAN_WIDE_VECTORS
void cover_on_wall(const QuickState& below, const QuickCoat& coat, float share, QuickState& __restrict above,
                   QuickBands& __restrict seen) {
  const auto outer = static_cast<float>(glass_surface().outer),
             inner = static_cast<float>(glass_surface().inner);
  const float glare = share * outer * coat.matte, through = share * (1 - outer) * (1 - inner);
  for (std::size_t i = 0; i < lanes; ++i) {
    const float r = coat.reflect.at[i], t = coat.transmit.at[i], b = below.reflect.at[i];
    const float reflect = r + t * t * b / (1 - r * b);
    above.reflect.at[i] = reflect;
    seen.at[i] += glare + through * reflect / (1 - inner * reflect);
  }
}

POWDERPLAN_WIDE_VECTORS
void cover_in_window(const QuickState& below, const QuickBehind& behind, const QuickCoat& coat, float share,
                     QuickState& __restrict above, QuickBehind& __restrict above_behind,
                     QuickBands& __restrict seen) {
  const auto outer = static_cast<float>(glass_surface().outer),
             inner = static_cast<float>(glass_surface().inner);
  for (std::size_t i = 0; i < lanes; ++i) {
    const float r = coat.reflect.at[i], t = coat.transmit.at[i], b = below.reflect.at[i],
                d = behind.transmit.at[i];
    const float bounce = 1 - r * b;
    above.reflect.at[i] = r + t * t * b / bounce;
    above_behind.transmit.at[i] = t * d / bounce;
    above_behind.reflect_below.at[i] = behind.reflect_below.at[i] + d * d * r / bounce;
    above_behind.straight.at[i] = behind.straight.at[i] * coat.straight.at[i];
    seen.at[i] +=
        share * through_window(above.reflect.at[i], above_behind.transmit.at[i],
                               above_behind.reflect_below.at[i], above_behind.straight.at[i], outer, inner);
  }
}

POWDERPLAN_WIDE_VECTORS
float weighed(const QuickBands& weights, const QuickBands& values) {
  std::array<float, 8> sums{};
  for (std::size_t i = 0; i < lanes; i += sums.size()) {
    for (std::size_t j = 0; j < sums.size(); ++j)
      sums[j] += weights.at[i + j] * values.at[i + j];
  }
  return ((sums[0] + sums[4]) + (sums[1] + sums[5])) + ((sums[2] + sums[6]) + (sums[3] + sums[7]));
}

}  // namespace powderplan
