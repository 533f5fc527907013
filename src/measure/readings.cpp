#include "measure/readings.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "colour/observer.h"
#include "colour/upsample.h"
#include "optics/surface.h"

namespace powderplan {
namespace {

constexpr double whitest_ground = 0.998;

}  // namespace

Spectrum look_of(const PowderOptics& powder, const Readings& readings, const StepReading& step) {
  const FinishValues values = fired_values(readings.flow, powder, readings.density);
  return seen(readings.grounds[step.ground].ground,
              std::array{covering_layer(powder, step.load, values, readings.density)});
}

Lab lab_of(const Spectrum& seen) {
  return to_lab(Observer(illuminant_d65())(seen));
}

Lab measured_lab(const StepReading& step) {
  if (const Xyz* const colour = std::get_if<Xyz>(&step.seen))
    return to_lab(*colour);
  return lab_of(std::get<Spectrum>(step.seen));
}

Ground opaque_ground(const Spectrum& bare) {
  Ground ground;
  ground.backing = per_band(
      [](double r) { return std::clamp(internal_behind(glass_surface(), r, 0.0), 0.0, whitest_ground); },
      bare);
  return ground;
}

Ground opaque_ground(const Xyz& bare) {
  return opaque_ground(smooth_spectrum(to_linear_rgb(bare)));
}

Ground clear_ground(const Spectrum& through) {
  // With r the outer reflection and t inside: through = (1 - r)^2 t / (1 - r^2 t^2). All of it is collimated.
  const double r = glass_surface().outer;
  Ground ground{.view = View::window, .sheet_k = {}, .sheet_s = {}, .sheet_load = Load(1), .backing = {}};
  ground.sheet_k = per_band(
      [r](double seen) {
        const double most = (1 - r) * (1 - r) / (1 - r * r);
        const double share = std::clamp(seen, 1e-6, most);
        const double a = share * r * r, b = (1 - r) * (1 - r);
        const double t = 2 * share / (b + std::sqrt(b * b + 4 * a * share));
        return std::max(0.0, -std::log(t));
      },
      through);
  return ground;
}

std::vector<Load> loads_of(const Readings& readings) {
  std::vector<Load> loads;
  for (const StepReading& step : readings.steps)
    loads.push_back(step.load);
  std::sort(loads.begin(), loads.end());
  loads.erase(std::unique(loads.begin(), loads.end()), loads.end());
  return loads;
}

}  // namespace powderplan
