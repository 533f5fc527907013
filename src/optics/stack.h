// What the eye sees of a stack of powder layers on a sheet.
#pragma once

#include <span>
#include <vector>

#include "optics/finish.h"
#include "optics/load_curve.h"
#include "optics/slab.h"
#include "units.h"

namespace powderplan {

// A glass by weight: absorption and scattering in cm2/g, the size of its grains. The last two are what a
// measurement of this powder found beside them.
struct PowderOptics {
  Spectrum k, s;
  Millimetres grain;
  double spreads = 1;  // how far its grains spread, as a multiple of what is usual of their size
  LoadCurve curve{};
};

// What a flow makes of this powder: finish.h for its grain, with its own spreading.
FinishValues fired_values(Millimetres flow, const PowderOptics& powder, Density density = glass_density);

// One powder layer as fired. Grains cover the share `cover` and carry the whole load there.
struct CoveringLayer {
  double cover = 0;
  Spectrum reflect, transmit;  // of the covered part, by Kubelka-Munk; the same from both sides
  Spectrum scatter;            // s_effective * load of the covered part, no unit
  double matte = 0;
};

CoveringLayer covering_layer(const PowderOptics& powder, Load load, const FinishValues& finish,
                             Density density = glass_density);

enum class View { wall, window };

// What lies below the powder, and from which side the light comes.
struct Ground {
  View view = View::wall;
  Spectrum sheet_k, sheet_s;  // cm2/g
  Load sheet_load;
  // Wall: reflectance of what the panel is fixed to, in contact with the glass. Not used for a window.
  Spectrum backing;
};

// The light inside a stack of which every layer covers the whole spot.
struct StackState {
  Spectrum reflect;  // seen from above, inside the glass
  double matte = 0;  // of the topmost layer
  // Only kept for a window: through the stack, its reflectance seen from below, and how much it scatters.
  Spectrum transmit, reflect_below, scatter;
};

StackState bare_sheet(const Ground& ground);
// The covered part of `layer` on `below`.
StackState laid_on(const StackState& below, const CoveringLayer& layer, View view);

// Share of the light that reaches the eye, per band.
// Wall: diffuse light from the front, out of the mirror direction of a glossy surface, through the surface of
// the topmost layer (Saunderson 1942). Window: light from behind through both surfaces; the share of it that
// no layer scatters, exp(-scatter), meets 4 % at each surface from inside, the rest 59.6 %.
Spectrum seen(const StackState& state, View view);

// The stack at one spot, built from the bottom up. A layer that covers only in part doubles the number of
// states (Demichel 1924); what is seen is their mean, each weighted by its share (Neugebauer 1937).
class Stack {
 public:
  explicit Stack(const Ground& ground) : Stack(ground.view, bare_sheet(ground)) {}
  // On a sheet that is worked out already (bare_sheet).
  Stack(View view, const StackState& sheet) : view_(view), parts_{{1.0, sheet}} {}
  void lay(const CoveringLayer& layer);
  [[nodiscard]] Spectrum seen() const;

 private:
  struct Part {
    double share;
    StackState state;
  };
  View view_;
  std::vector<Part> parts_;
};

// The stack above in one call.
Spectrum seen(const Ground& ground, std::span<const CoveringLayer> bottom_to_top);
// The same on a stack that stands already: for many spots on one ground, whose sheet is then worked out once.
Spectrum seen(Stack on, std::span<const CoveringLayer> bottom_to_top);

}  // namespace powderplan
