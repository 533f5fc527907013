// Which layers are sifted by hand as fades, and which stay even coats through a stencil.
#pragma once

#include <cstddef>

#include "separation/choice_search.h"
#include "separation/fade_fit.h"
#include "separation/faded_choice.h"

namespace powderplan {

struct FadeRules {
  std::size_t most_fades = 0;  // 0: none
  // The narrowest soft edge that a sifter held low lays, from 10 to 90 % of the load.
  Millimetres narrowest_edge{15};
  // A fade must lower the mean cost by this share: it takes longer at the bench than an even coat.
  double least_gain = 0.01;
  // A template is left out when the cost rises by no more than this share: what needs no cutting is worth it.
  double price_of_template = 0.01;
};

// Turns those layers into fades that gain most by it, one after the other, and fits their fields to the
// labels of the samples. Then leaves out templates that are hardly needed; samples and map follow.
void lay_fades(FadedChoice& faded, const Painter& painter, FadeSamples& samples, const FadeRules& rules,
               const ChoiceLimits& limits);

// Fits all fields again, after the labels have changed. Loads follow.
void refit_fades(FadedChoice& faded, const Painter& painter, const FadeSamples& samples,
                 const ChoiceLimits& limits, int rounds);

}  // namespace powderplan
