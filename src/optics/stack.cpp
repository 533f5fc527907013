#include "optics/stack.h"

#include <cmath>

#include "optics/grain.h"
#include "optics/kubelka_munk.h"
#include "optics/surface.h"
#include "wide_vectors.h"

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

POWDERPLAN_WIDE_VECTORS
Spectrum seen_on_wall(const Spectrum& reflect, double matte) {
  const Surface surface = glass_surface();
  Spectrum out;
  for (std::size_t i = 0; i < band_count; ++i)
    out[i] = seen_through(surface, reflect[i], matte);
  return out;
}

}  // namespace

FinishValues fired_values(Millimetres flow, const PowderOptics& powder, Density density) {
  FinishValues values = fired_values(flow, powder.grain, density);
  values.spread *= powder.spreads;
  return values;
}

CoveringLayer covering_layer(const PowderOptics& powder, Load load, const FinishValues& finish,
                             Density density) {
  CoveringLayer layer;
  layer.matte = finish.matte;
  layer.cover = covered_share(load, powder.grain, finish.spread, density);
  if (layer.cover <= negligible) {
    layer.cover = 0;
    layer.transmit = Spectrum::constant(1);
    return layer;
  }
  const double load_on_covered = powder.curve(load).value() / layer.cover;
  for (std::size_t i = 0; i < band_count; ++i) {
    const double s = powder.s[i] + finish.s_air * (1 - finish.fused);
    const LayerOptics band = kubelka_munk(powder.k[i], s, load_on_covered);
    layer.reflect[i] = band.reflect;
    layer.transmit[i] = band.transmit;
    layer.scatter[i] = s * load_on_covered;
  }
  return layer;
}

StackState bare_sheet(const Ground& ground) {
  StackState bare;
  const Slab sheet = kubelka_munk(ground.sheet_k, ground.sheet_s, ground.sheet_load);
  if (ground.view == View::wall) {
    bare.reflect = reflectance_over(sheet, ground.backing);
    return bare;
  }
  bare.reflect = sheet.reflect_above;
  bare.transmit = sheet.transmit_up;
  bare.reflect_below = sheet.reflect_below;
  bare.scatter = ground.sheet_s * ground.sheet_load.value();
  return bare;
}

POWDERPLAN_WIDE_VECTORS
StackState laid_on(const StackState& below, const CoveringLayer& layer, View view) {
  StackState above;
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

Spectrum seen(const StackState& state, View view) {
  if (view == View::wall)
    return seen_on_wall(state.reflect, state.matte);
  return per_band(through_window, state.reflect, state.transmit, state.reflect_below, state.scatter);
}

void Stack::lay(const CoveringLayer& layer) {
  if (layer.cover <= 0)
    return;
  const std::size_t before = parts_.size();
  for (std::size_t i = 0; i < before; ++i) {
    Part covered{parts_[i].share * layer.cover, laid_on(parts_[i].state, layer, view_)};
    parts_[i].share *= 1 - layer.cover;
    if (parts_[i].share < negligible) {
      // Nothing of the bare part is left: the covered one takes its place with all of the share.
      covered.share += parts_[i].share;
      parts_[i] = covered;
    } else {
      parts_.push_back(covered);
    }
  }
}

Spectrum Stack::seen() const {
  Spectrum total;
  for (const Part& part : parts_)
    total += powderplan::seen(part.state, view_) * part.share;
  return total;
}

Spectrum seen(const Ground& ground, std::span<const CoveringLayer> bottom_to_top) {
  return seen(Stack(ground), bottom_to_top);
}

Spectrum seen(Stack on, std::span<const CoveringLayer> bottom_to_top) {
  for (const CoveringLayer& layer : bottom_to_top)
    on.lay(layer);
  return on.seen();
}

}  // namespace powderplan
