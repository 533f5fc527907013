// A choice of which some layers are sifted by hand as fades, on the way to a separation.
#pragma once

#include <cstdint>
#include <vector>

#include "recipe/painter.h"
#include "separation/map_tuning.h"
#include "separation/soft_field.h"

namespace powderplan {

// One layer laid as a fade.
struct HandLaid {
  // Without a template, everywhere: not in the choice, but below its nest number `nest` (its size: on
  // top). With a template: the layer `step` of the choice's nest `nest`.
  bool free = false;
  std::size_t nest = 0;
  std::size_t step = 1;
  std::size_t powder = 0;  // of a free fade: its place in Palette::powders ...
  Load load;               // ... and its load
  SoftField amount;        // share of the load
};

// No plan has more.
inline constexpr std::size_t most_fades_in_a_plan = 32;

struct FadedChoice {
  LabelledChoice stencils;  // the layers with openings, fades with a template among them
  std::vector<HandLaid> fades;
};

// What lies at a spot of this label, where each fade has this share of its load.
Recipe recipe_of(const FadedChoice& faded, const Tones& tones, const std::vector<float>& amounts);

// Places in `fades` of those that lie on a label.
std::vector<std::size_t> fades_on(const FadedChoice& faded, const Tones& tones);

std::size_t layer_count(const FadedChoice& faded);

// The load of a fade, wherever it is kept.
Load load_of(const FadedChoice& faded, std::size_t fade);
void set_load(FadedChoice& faded, std::size_t fade, Load load);

// Makes the largest share of a fade's load 1, and its load what lies there.
void trim_load(FadedChoice& faded, std::size_t fade);

}  // namespace powderplan
