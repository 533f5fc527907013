// What was measured of a fired step tile: the colours, or the spectra, of known loads over known grounds.
#pragma once

#include <cstddef>
#include <string>
#include <variant>
#include <vector>

#include "colour/tristimulus.h"
#include "optics/stack.h"
#include "units.h"

namespace powderplan {

struct MeasuredGround {
  std::string name;  // in messages and charts: "light", "dark", "through"
  Ground ground;
};

struct StepReading {
  Load load;
  std::size_t ground = 0;  // place in Readings::grounds
  // A colour under D65, or the share of light seen (wall) or let through (window) in each band; both without
  // the mirror reflection of a glossy surface.
  std::variant<Xyz, Spectrum> seen;
};

struct Readings {
  std::vector<MeasuredGround> grounds;
  std::vector<StepReading> steps;
  Millimetres grain;
  Millimetres flow;  // of the tile's firing (optics/finish.h)
  Density density = glass_density;
};

// What the model makes of a step.
Spectrum look_of(const PowderOptics& powder, const Readings& readings, const StepReading& step);

Lab lab_of(const Spectrum& seen);  // under D65
Lab measured_lab(const StepReading& step);

// An opaque ground of which the bare colour was seen, glossy. The spectrum behind the colour is taken to be
// smooth (colour/upsample.h), which grounds near to neutral are.
Ground opaque_ground(const Xyz& bare);
Ground opaque_ground(const Spectrum& bare);
// A clear sheet that lets this much through, both surfaces included, and scatters nothing.
Ground clear_ground(const Spectrum& through);

// The loads of the steps, each once, rising.
std::vector<Load> loads_of(const Readings& readings);

}  // namespace powderplan
