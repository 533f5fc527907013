// Predicts the colour of recipes in one setting: a shelf, a ground, a heat and a light.
#pragma once

#include "colour/observer.h"
#include "glass/palette.h"
#include "optics/finish.h"
#include "optics/quick_bands.h"
#include "optics/stack.h"
#include "recipe/coats.h"
#include "recipe/recipe.h"

namespace powderplan {

// What lies below the powder: the sheet, and behind it the backing (internal reflectance, for a wall).
Ground ground_of(const Sheet& sheet, Density density, View view, const Spectrum& backing);

class Painter {
 public:
  // `flow`: the heat that all powder has been through (optics/finish.h); of each powder its own grain counts.
  // None: loose powder.
  Painter(const Palette& palette, const Ground& ground, Millimetres flow, const Observer& observer);
  // One powder that goes through another heat.
  void fire(std::size_t powder, Millimetres flow) { flows_[powder] = flow; }

  [[nodiscard]] CoveringLayer layer(const Dose& dose) const;
  [[nodiscard]] Xyz xyz(const Recipe& recipe) const;
  [[nodiscard]] Lab lab(const Recipe& recipe) const { return to_lab(xyz(recipe)); }
  // The same, for many recipes of the same doses.
  Xyz xyz(const Recipe& recipe, Coats& coats) const;

  // The pieces of the above, for those who share work between many recipes. A recipe's colour is the mean,
  // over which of its layers cover, of the colours of fully covered stacks (Demichel, Neugebauer).
  [[nodiscard]] const StackState& bare() const { return bare_; }
  [[nodiscard]] StackState laid(const StackState& below, const CoveringLayer& layer) const {
    return laid_on(below, layer, ground_.view);
  }
  [[nodiscard]] Xyz look(const StackState& covered) const { return observer_(seen(covered, ground_.view)); }

  // The coats of a powder up to a load, for those who need many.
  [[nodiscard]] CoatTable coats(std::size_t powder, Load most) const;

  [[nodiscard]] const Palette& palette() const { return *palette_; }
  [[nodiscard]] const Ground& ground() const { return ground_; }
  [[nodiscard]] const Observer& observer() const { return observer_; }

 private:
  const Palette* palette_;  // must outlive the painter
  Ground ground_;
  std::vector<Millimetres> flows_;  // by powder of the palette
  Observer observer_;
  StackState bare_;
};

}  // namespace powderplan
