// Which powder, and how much of it, for strokes drawn on top of everything else.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <vector>

#include "recipe/painter.h"
#include "separation/separation.h"
#include "separation/strokes.h"

namespace powderplan {

// Part of the strokes: the colour they should have, and what lies under them.
struct LineSpot {
  Lab wanted;
  Recipe below;
  double weight = 0;  // for instance the number of grid points
};

struct LineLimits {
  std::vector<std::size_t> usable;  // places in Palette::powders
  Load least_load{0.010};
  Load most_load = full_load;
};

struct LineChoice {
  std::size_t powder = 0;
  Load load;                // to 0.001 g/cm2, within the limits
  double mean_de00 = 0;     // of the strokes as drawn, CIEDE2000, weighted
  double without_de00 = 0;  // the same where nothing is drawn
  // What drawing is worth: the fall of the mean, less the price of the powder (price_of_load in
  // cost_table.h).
  double gain = 0;
};

// The powder and load that come nearest to what is wanted, laid on top of each recipe. Nothing when there are
// no spots with a weight, no usable powders, or when every powder makes the strokes worse.
std::optional<LineChoice> choose_line(const Painter& painter, const std::vector<LineSpot>& spots,
                                      const LineLimits& limits);

struct LineLayers {
  std::vector<LineChoice> layers;  // that with most weight first
  // For each spot which of the layers draws it; `no_layer`: left out.
  std::vector<std::size_t> layer_of_spot;
  static constexpr std::size_t no_layer = static_cast<std::size_t>(-1);
  double mean_de00 = 0;  // of all spots, with what is left out
};

// A further line layer must lower the mean over all strokes by so much (CIEDE2000); the first too.
inline constexpr double least_gain_of_line_layer = 1.0;

// Splits the strokes by wanted colour into at most `most` line layers, each added only while it gains enough
// (k-means in Lab to begin with, then each spot goes where it costs least and each layer is chosen anew).
LineLayers line_layers(const Painter& painter, const std::vector<LineSpot>& spots, const LineLimits& limits,
                       std::size_t most);

// The strokes of one kind on what a separation lays under them.
struct StrokeSpots {
  std::vector<LineSpot> spots;
  Image<std::uint16_t> at;  // which of them; `none` where there is no stroke
  static constexpr std::uint16_t none = 0xffff;
};
StrokeSpots spots_of(const StrokeMap& strokes, std::uint8_t kind, const Separation& below);
// The same over any recipes: `below_at` tells which of `below` lies at each point. At most
// most_recipes_below of them.
StrokeSpots spots_of(const StrokeMap& strokes, std::uint8_t kind, const Image<std::uint16_t>& below_at,
                     const std::vector<Recipe>& below);
inline constexpr std::size_t most_recipes_below = 1300;

// 1 where a layer draws. Pieces shorter than `shortest` between pieces of another layer become part of that.
std::vector<Image<std::uint8_t>> masks_of(const StrokeSpots& spots, const LineLayers& layers,
                                          const Grid& grid, Millimetres shortest);

}  // namespace powderplan
