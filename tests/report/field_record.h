// A plan of even fields, side by side, each with its own stack, for tests of how surfaces look.
#pragma once

#include <vector>

#include "report/fixture.h"

namespace powderplan {

// One coat, bottom to top: which powder of the shelf, and how much.
struct FieldCoat {
  std::size_t powder = 0;
  Load load;
};

// `fields` lie side by side, each `side` mm square, on fixture::shelf()'s clear sheet over a light wall;
// every coat is a layer of its own, and all are fired once to `finish` of the first powder's grain. Grid of
// 0.5 mm.
inline PlanRecord field_record(const std::vector<std::vector<FieldCoat>>& fields, Finish finish,
                               int side = 10) {
  constexpr int points_a_mm = 2;
  PlanRecord plan;
  plan.title = "Fields";
  plan.palette = fixture::shelf();
  plan.illuminant = "D65";
  plan.backing = Spectrum::constant(0.9);
  const int field = side * points_a_mm, width = field * static_cast<int>(fields.size()), height = field;
  plan.width = Millimetres(side * static_cast<double>(fields.size()));
  plan.height = Millimetres(side);
  plan.separation.grid = {Millimetres(1.0 / points_a_mm), width, height};
  Firing firing;
  firing.finish = finish;
  firing.flow = flow_for(finish, plan.palette.powders[0].optics.grain);
  for (std::size_t f = 0; f < fields.size(); ++f) {
    for (const FieldCoat& coat : fields[f]) {
      Layer layer;
      layer.powder = coat.powder;
      layer.load = coat.load;
      layer.amount = Image<Amount>(width, height, 0);
      for (int y = 0; y < height; ++y) {
        for (int x = 0; x < field; ++x)
          layer.amount.at(static_cast<int>(f) * field + x, y) = whole_amount;
      }
      firing.layers.push_back(plan.layers.size());
      plan.firing_plan.places.push_back({0, false, ""});
      plan.layers.push_back(std::move(layer));
    }
  }
  plan.firing_plan.firings = {firing};
  plan.spots = Spots(plan.layers, width, height);
  return plan;
}

// Mean of the light in a part of a picture, as CIE Lab.
inline Lab mean_colour(const Image<Rgb8>& picture, int left, int top, int width, int height) {
  Xyz sum;
  for (int y = top; y < top + height; ++y) {
    for (int x = left; x < left + width; ++x)
      sum = sum + to_xyz(to_linear_rgb(picture.at(x, y)));
  }
  return to_lab(sum * (1.0 / (static_cast<double>(width) * height)));
}

}  // namespace powderplan
