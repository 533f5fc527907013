// The picture taken apart: which powders, how many loads of each, in which order, and what lies where.
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "raster/bit_mask.h"
#include "raster/image.h"
#include "recipe/recipe.h"
#include "separation/soft_field.h"
#include "units.h"

namespace powderplan {

// Layers whose openings lie one inside the other: where the second opens, the first opens too, so `n` layers
// give n + 1 tones, the bare one included. They are laid smallest opening first, so that none of their
// stencils rests on loose powder of another; so the first, with the largest opening, lies on top. The usual
// nest is of one powder, and each tone heavier than the one before.
struct Nest {
  std::vector<Dose> steps;  // largest opening first
  friend bool operator==(const Nest&, const Nest&) = default;
};
Nest nest_of(std::size_t powder, const std::vector<Load>& loads);
// Whether all its layers are of one powder.
bool of_one_powder(const Nest& nest);
Load total_load(const Nest& nest);

// Bottom to top.
using Choice = std::vector<Nest>;

std::size_t layer_count(const Choice& choice);
std::vector<std::size_t> powders_of(const Choice& choice);  // each once, from the bottom

// A label says for each nest how many of its layers lie at a spot.
using Tones = std::vector<std::uint8_t>;

// What lies at a spot of this label, neighbours of one powder as one dose.
Recipe recipe_of(const Choice& choice, const Tones& tones);
// Every label of at most `most_at_a_spot` doses; the first is bare sheet.
std::vector<Tones> all_labels(const Choice& choice, std::size_t most_at_a_spot);

// The points of a map whose label is marked in `marks` (one a label, not 0).
BitMask points_labelled(const Image<std::uint16_t>& label_at, const std::vector<std::uint8_t>& marks);

// One layer that is sifted by hand as a gradient: where its label has it, `amount` (0..1) of its load lies.
struct Fade {
  std::size_t nest = 0;  // a place in the choice
  std::size_t step = 1;  // which of that nest's layers: 1 is its largest opening
  // Laid without a template: every label has it. Else it ends crisply at the edge of its openings.
  bool free = false;
  SoftField amount;
};

struct Separation {
  Grid grid;
  Choice choice;
  std::vector<Tones> labels;      // only those in use, bare sheet first
  Image<std::uint16_t> label_at;  // which one, at each grid point
  std::vector<Fade> fades{};      // layers that are no even coat; at most one of a nest's step
};

}  // namespace powderplan
