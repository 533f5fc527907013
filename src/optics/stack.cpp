#include "optics/stack.h"

#include <cmath>

#include "optics/grain.h"
#include "optics/kubelka_munk.h"
#include "optics/surface.h"

namespace powderplan {
namespace {

// A share below this cannot change a colour code.
constexpr double negligible = 1e-7;

// Light from behind, through the lower surface, the stack, the upper surface.
double through_window(double reflect, double transmit, double reflect_below, double scatter) {
  const Surface& surface = glass_surface();
  const double unscattered = std::exp(-scatter);
  const double inner = surface.outer * unscattered + surface.inner * (1 - unscattered);
  // The upper surface on the stack, seen from below.
  const double bounce_above = 1 - inner * reflect;
  const double up = transmit * (1 - inner) / bounce_above;
  const double back = reflect_below + transmit * transmit * inner / bounce_above;
  return (1 - surface.outer) * up / (1 - inner * back);
}

}  // namespace

CoveringLayer covering_layer(const PowderOptics& powder, Load load, const FinishValues& finish, Density density) {
  CoveringLayer layer;
  layer.matte = finish.matte;
  layer.cover = covered_share(load, powder.grain, finish.spread, density);
  if (layer.cover <= negligible) {
    layer.cover = 0;
    layer.transmit = Spectrum::constant(1);
    return layer;
  }
  const double load_on_covered = load.value() / layer.cover;
  for (std::size_t i = 0; i < band_count; ++i) {
    const double s = powder.s[i] + finish.s_air * (1 - finish.fused);
    const LayerOptics band = kubelka_munk(powder.k[i], s, load_on_covered);
    layer.reflect[i] = band.reflect;
    layer.transmit[i] = band.transmit;
    layer.scatter[i] = s * load_on_covered;
  }
  return layer;
}

Stack::Stack(const Ground& ground) : view_(ground.view), states_(1) {
  State& bare = states_.front();
  const Slab sheet = kubelka_munk(ground.sheet_k, ground.sheet_s, ground.sheet_load);
  if (view_ == View::wall) {
    bare.reflect = reflectance_over(sheet, ground.backing);
    return;
  }
  bare.reflect = sheet.reflect_above;
  bare.transmit = sheet.transmit_up;
  bare.reflect_below = sheet.reflect_below;
  bare.scatter = ground.sheet_s * ground.sheet_load.value();
}

Stack::State Stack::covered(const State& below, const CoveringLayer& layer, View view) {
  State above;
  above.share = below.share * layer.cover;
  above.matte = layer.matte;
  for (std::size_t i = 0; i < band_count; ++i) {
    const double bounce = 1 - layer.reflect[i] * below.reflect[i];
    const double t = layer.transmit[i];
    above.reflect[i] = layer.reflect[i] + t * t * below.reflect[i] / bounce;
    if (view == View::window) {
      above.transmit[i] = t * below.transmit[i] / bounce;
      above.reflect_below[i] =
          below.reflect_below[i] + below.transmit[i] * below.transmit[i] * layer.reflect[i] / bounce;
      above.scatter[i] = below.scatter[i] + layer.scatter[i];
    }
  }
  return above;
}

void Stack::lay(const CoveringLayer& layer) {
  if (layer.cover <= 0)
    return;
  const std::size_t before = states_.size();
  for (std::size_t i = 0; i < before; ++i) {
    State above = covered(states_[i], layer, view_);
    states_[i].share *= 1 - layer.cover;
    if (states_[i].share < negligible) {
      // Nothing of the bare state is left: the covered one takes its place with all of the share.
      above.share += states_[i].share;
      states_[i] = above;
    } else {
      states_.push_back(above);
    }
  }
}

Spectrum Stack::seen() const {
  Spectrum total;
  const Surface& surface = glass_surface();
  for (const State& state : states_) {
    for (std::size_t i = 0; i < band_count; ++i) {
      const double part = view_ == View::wall
                              ? seen_through(surface, state.reflect[i], state.matte)
                              : through_window(state.reflect[i], state.transmit[i], state.reflect_below[i],
                                               state.scatter[i]);
      total[i] += state.share * part;
    }
  }
  return total;
}

Spectrum seen(const Ground& ground, std::span<const CoveringLayer> bottom_to_top) {
  Stack stack(ground);
  for (const CoveringLayer& layer : bottom_to_top)
    stack.lay(layer);
  return stack.seen();
}

}  // namespace powderplan
