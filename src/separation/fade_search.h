// Which layers are sifted by hand as fades, and which stay even coats through a stencil.
#pragma once

#include <cstddef>
#include <vector>

#include "separation/choice_search.h"
#include "separation/fade_fit.h"
#include "separation/faded_choice.h"
#include "separation/powder_ways.h"

namespace powderplan {

// A fade that was a lighter coat is not made heavier than this anywhere: more powder changes little of what
// it looks like, and asks for firings of its own.
inline constexpr Load heaviest_fade{0.3};

struct FadeRules {
  // By powder of the palette; empty: every way for all.
  std::vector<PowderWays> ways;
  // The narrowest soft edge that a sifter lays, from 10 to 90 % of the load: held low, and held high.
  Millimetres edge_low{8}, edge_high{24};
  // A fade must lower the mean cost by this share: it takes longer at the bench than an even coat.
  double least_gain = 0.004;
  // No more layers are made fades for what they gain.
  std::size_t most_fades = most_fades_in_a_plan;
  // Nor where a label would then hold more fades than this: the table of its looks grows threefold with each
  // (look_table.h), and a hand that lays so many over each other gains nothing by one more.
  std::size_t most_on_a_label = 6;
  // A template is left out when the cost rises by no more than this share: it need not be cut, nor kept off
  // loose powder.
  double price_of_template = 0.01;
  // The sifter is held high when the cost rises by no more than this share: a wide cloud is laid sooner and
  // more evenly.
  double price_of_low_hold = 0.001;

  [[nodiscard]] PowderWays ways_of(std::size_t powder) const {
    return powder < ways.size() ? ways[powder] : PowderWays{};
  }
};

// Turns layers into fades, one after the other, those first that gain most by it, and fits their fields to
// the labels of the samples. Then leaves out templates that are hardly needed and those that are not allowed,
// and holds the sifter high where that does as well. The map and the labels of the samples follow.
void lay_fades(FadedChoice& faded, const Painter& painter, FadeSamples& samples, const FadeRules& rules,
               const ChoiceLimits& limits);

// Fits all fields again, after the labels have changed. Loads follow.
void refit_fades(FadedChoice& faded, const Painter& painter, const FadeSamples& samples,
                 const ChoiceLimits& limits, int rounds);

// A plan of fades without templates alone: each the best there is on top of or below those already chosen.
// The map is bare sheet of the target's size.
FadedChoice only_fades(const Painter& painter, const Target& target, const FadeRules& rules,
                       const ChoiceLimits& limits);

}  // namespace powderplan
