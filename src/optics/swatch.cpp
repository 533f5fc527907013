#include "optics/swatch.h"

#include <algorithm>

#include "colour/difference.h"
#include "colour/observer.h"
#include "colour/upsample.h"
#include "optics/kubelka_munk.h"
#include "optics/surface.h"

namespace powderplan {
namespace {

Spectrum internal_spectrum(const Rgb8& seen) {
  const Spectrum outside = smooth_spectrum(to_linear_rgb(seen));
  return per_band([](double r) { return std::clamp(internal_behind(glass_surface(), r, 0.0), 0.0, 0.998); },
                  outside);
}

double repeated(const Slab& layer, double ground, const Rgb8& wanted) {
  const Spectrum inside = reflectance_over(layer, Spectrum::constant(ground));
  const Observer see(illuminant_d65());
  const Spectrum outside = per_band([](double r) { return seen_through(glass_surface(), r, 0.0); }, inside);
  return ciede2000(to_lab(wanted), to_lab(see(outside)));
}

}  // namespace

SwatchFit fit_swatch(const Rgb8& over_white, const Rgb8& over_black, Load load) {
  const Spectrum white = internal_spectrum(over_white), black = internal_spectrum(over_black);
  SwatchFit fit;
  for (std::size_t i = 0; i < band_count; ++i) {
    const LayerOptics layer = layer_from_two_grounds(white[i], black[i], white_ground, black_ground);
    const Coefficients c = kubelka_munk_inverse(layer.reflect, layer.transmit, load.value());
    fit.k[i] = c.k;
    fit.s[i] = c.s;
  }
  const Slab layer = kubelka_munk(fit.k, fit.s, load);
  fit.white_de00 = repeated(layer, white_ground, over_white);
  fit.black_de00 = repeated(layer, black_ground, over_black);
  return fit;
}

}  // namespace powderplan
