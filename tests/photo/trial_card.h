// A card for trials: marks in the corners, white strips round two rows of coloured fields, a place for a
// reference.
#pragma once

#include <vector>

#include "photographed_card.h"

namespace powderplan {

struct TrialCard {
  Scene scene;
  std::vector<BoxMm> fields;
  std::vector<Xyz> colours;
};

inline TrialCard trial_card() {
  TrialCard card;
  CardLayout layout;
  layout.marks = {{{14, 14}, {196, 14}, {196, 134}, {14, 134}}};
  layout.white = {
      {26, 5, 184, 23}, {26, 70, 184, 78}, {26, 125, 184, 143}, {4, 26, 22, 122}, {188, 26, 206, 122}};
  layout.reference = BoxMm{130, 84, 180, 120};
  card.scene.card = layout;
  card.scene.width = 210;
  card.scene.height = 148;
  // Lab under D65, inside sRGB: dark to light, dull to strong.
  const std::vector<Lab> labs{{92, 0, 2},   {70, 0, 0},    {45, 0, 0},    {20, 0, 0},     {50, 55, 30},
                              {75, 10, 60}, {45, -40, 25}, {35, 15, -45}, {60, -25, -20}, {40, 30, -20},
                              {12, 4, -6},  {30, 25, 15},  {80, -15, 25}, {65, 30, 40}};
  for (std::size_t i = 0; i < labs.size(); ++i) {
    const double left = 30 + 15.0 * static_cast<double>(i % 10), top = i < 10 ? 28 : 82;
    card.fields.push_back({left, top, left + 13, top + 38});
    card.colours.push_back(to_xyz(labs[i]));
    card.scene.boxes.push_back({card.fields.back(), card.colours.back()});
  }
  return card;
}

}  // namespace powderplan
