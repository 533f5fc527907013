#include "recipe/painter.h"

namespace powderplan {

Ground ground_of(const Sheet& sheet, Density density, View view, const Spectrum& backing) {
  return {view, sheet.k, sheet.s, load_of_sheet(sheet.thickness, density), backing};
}

Painter::Painter(const Palette& palette, const Ground& ground, Millimetres flow, const Observer& observer)
    : palette_(&palette),
      ground_(ground),
      flows_(palette.powders.size(), flow),
      observer_(observer),
      bare_(bare_sheet(ground)) {}

CoveringLayer Painter::layer(const Dose& dose) const {
  const PowderOptics& optics = palette_->powders[dose.powder].optics;
  const Density density = palette_->glass.density;
  return covering_layer(optics, dose.load, fired_values(flows_[dose.powder], optics, density), density);
}

CoatTable Painter::coats(std::size_t powder, Load most) const {
  const PowderOptics& optics = palette_->powders[powder].optics;
  const Density density = palette_->glass.density;
  return {optics, fired_values(flows_[powder], optics, density), density, most};
}

Xyz Painter::xyz(const Recipe& recipe) const {
  Coats coats;
  return xyz(recipe, coats);
}

Xyz Painter::xyz(const Recipe& recipe, Coats& coats) const {
  Stack stack(ground_.view, bare_);
  for (const Dose& dose : recipe)
    stack.lay(coats.of(dose, flows_[dose.powder], [&] { return layer(dose); }));
  return observer_(stack.seen());
}

}  // namespace powderplan
