// A small shelf of invented powders, and a painter on clear sheet, for tests.
#pragma once

#include <gtest/gtest.h>

#include <string>
#include <vector>

#include "glass/palette.h"
#include "optics/swatch.h"
#include "property.h"
#include "recipe/painter.h"

namespace powderplan {

// A string of its own, because this compiler warns wrongly where a short literal is assigned.
inline const std::string family_a = "A";

inline Powder powder_of(const std::string& id, const std::string& over_white, const std::string& over_black,
                        Body body) {
  Powder powder;
  powder.id = powder.name = id;
  powder.family = family_a;
  powder.body = body;
  EXPECT_TRUE(parse_hex(over_white, powder.over_white) && parse_hex(over_black, powder.over_black));
  const SwatchFit fit = fit_swatch(powder.over_white, powder.over_black, full_load);
  powder.optics = {fit.k, fit.s, Millimetres(0.1)};
  return powder;
}

inline Sheet clear_sheet() {
  Sheet sheet;
  sheet.id = sheet.name = std::string("clear");
  sheet.family = family_a;
  sheet.thickness = Millimetres(3);
  sheet.k = Spectrum::constant(0.005);
  return sheet;
}

// Places in the small shelf.
inline constexpr std::size_t white = 0, black = 1, red = 2, blue = 3, yellow = 4;

inline const Palette& small_shelf() {
  static const Palette shelf = [] {
    Palette palette;
    palette.name = std::string("small");
    palette.family = family_a;
    palette.powders = {powder_of("white", "#f2f2f0", "#d2d6da", Body::opalescent),
                       powder_of("black", "#0c0c0d", "#0c0c0d", Body::opalescent),
                       powder_of("red", "#a02024", "#8c1c20", Body::opalescent),
                       powder_of("blue", "#1a2a6e", "#050814", Body::transparent),
                       powder_of("yellow", "#d8b43c", "#1c1608", Body::transparent)};
    palette.sheets = {clear_sheet()};
    return palette;
  }();
  return shelf;
}

inline Ground clear_ground(View view = View::wall) {
  return ground_of(small_shelf().sheets[0], small_shelf().glass.density, view, Spectrum::constant(0.95));
}

inline const Observer& daylight_observer() {
  static const Observer observer(illuminant_d65());
  return observer;
}

// On clear sheet, on a white wall.
inline Painter small_painter(Finish finish = Finish::full) {
  return {small_shelf(), clear_ground(), flow_for(finish, Millimetres(0.1)), daylight_observer()};
}

// A random recipe of different powders of the small shelf.
inline Recipe any_recipe(std::size_t most) {
  std::vector<std::size_t> left{white, black, red, blue, yellow};
  Recipe recipe;
  const auto count = *rc::gen::inRange(std::size_t{0}, most + 1);
  while (recipe.size() < count) {
    const auto pick = static_cast<std::ptrdiff_t>(*rc::gen::inRange(std::size_t{0}, left.size()));
    recipe.push_back({left[static_cast<std::size_t>(pick)], Load(any_decade_between(0.005, 0.75))});
    left.erase(left.begin() + pick);
  }
  return recipe;
}

}  // namespace powderplan
