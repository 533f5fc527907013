// Which powders, how many loads of each, how heavy and in which order: the best choice within a budget of
// layers for the colours of a picture.
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "recipe/painter.h"
#include "separation/colour_index.h"
#include "separation/pair_price.h"
#include "separation/separation.h"

namespace powderplan {

struct ChoiceLimits {
  std::size_t most_layers = 8;
  std::optional<std::size_t> most_powders;
  std::size_t most_at_a_spot = 3;
  // At most so many nests. Then a nest may hold layers of different powders; without this limit each is of
  // one powder, and each powder in one nest.
  std::optional<std::size_t> most_nests;
  Load least_load{0.010};           // of one layer
  Load most_load = full_load;       // of one layer, and of all layers of one nest together
  std::vector<std::size_t> use;     // must be in the choice
  std::vector<std::size_t> usable;  // all that may be
  std::vector<std::size_t> order;   // those of these that are chosen lie in this order, bottom to top
  std::vector<PairPrice> pairs;     // powders that are to touch, or not
  std::vector<std::size_t> apart;   // never in a nest with another powder
  // With most_nests, each nest being a firing: powders and the firing (from 1) that they must be in.
  struct InFiring {
    std::size_t powder = 0, firing = 1;
  };
  std::vector<InFiring> in_firing;
  // How hot each powder is fired, by its place in the palette; empty: all alike. A nest holds powders of one
  // heat, and none lies above a cooler one.
  std::vector<int> heat;
};

// Whether the loads and the order of a choice are within the limits.
bool allowed(const Choice& choice, const ChoiceLimits& limits);

// How hard to look: `quick` adds layers greedily and stops; `settled` then tunes, reorders and exchanges
// layers until nothing helps any more; `thorough` also throws some out by lot, again and again.
enum class SearchEffort { quick, settled, thorough };

struct FoundChoice {
  Choice choice;
  // Mean distance of the colours to their nearest label, near CIEDE2000 for small differences, with what is
  // paid for pairs.
  double mean_distance = 0;
};

// `colours` are the picture's, a few hundred at most. Deterministic, whatever the number of threads.
// The distance is CIEDE2000's own quadratic form at each wanted colour, without its hue discontinuity.
FoundChoice search_choice(const Painter& painter, const std::vector<WeightedColour>& colours,
                          const ChoiceLimits& limits, SearchEffort effort,
                          const std::function<void(double share)>& progress = {});

// The part by lot alone, from a choice within the limits that is known to be good.
FoundChoice search_on(const Painter& painter, const std::vector<WeightedColour>& colours,
                      const ChoiceLimits& limits, const Choice& from,
                      const std::function<void(double share)>& progress = {});

}  // namespace powderplan
