// The picture taken apart: which powders, how many loads of each, in which order, and what lies where.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "raster/image.h"
#include "recipe/recipe.h"
#include "separation/soft_field.h"
#include "units.h"

namespace powderplan {

// One chosen powder. Its stencils are cumulative: where the second opens, the first opens too, so `n` loads
// give n + 1 tones, the bare one included.
struct ChosenPowder {
  std::size_t powder = 0;   // its place in Palette::powders
  std::vector<Load> loads;  // of the first (largest) opening, the second, ...
  friend bool operator==(const ChosenPowder&, const ChosenPowder&) = default;
};

// Bottom to top.
using Choice = std::vector<ChosenPowder>;

std::size_t layer_count(const Choice& choice);

// A label says for each chosen powder how many of its loads lie at a spot.
using Tones = std::vector<std::uint8_t>;

// Every label with at most `most_at_a_spot` powders; the first is bare sheet.
std::vector<Tones> all_labels(const Choice& choice, std::size_t most_at_a_spot);
Recipe recipe_of(const Choice& choice, const Tones& tones);

// One layer that is sifted by hand as a gradient: where its label has it, `amount` (0..1) of its load lies.
struct Fade {
  std::size_t chosen = 0;  // its powder, a place in the choice
  std::size_t step = 1;    // which of that powder's layers: 1 is its largest opening
  // Laid without a template: every label has it. Else it ends crisply at the edge of its openings.
  bool free = false;
  SoftField amount;
};

struct Separation {
  Grid grid;
  Choice choice;
  std::vector<Tones> labels;      // only those in use, bare sheet first
  Image<std::uint16_t> label_at;  // which one, at each grid point
  std::vector<Fade> fades{};      // layers that are no even coat; at most one of a powder's step
};

}  // namespace powderplan
