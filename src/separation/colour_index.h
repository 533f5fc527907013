// The colours of a picture, each kept once: cells of Lab with their mean colour and how often it occurs.
#pragma once

#include <cstdint>
#include <vector>

#include "colour/tristimulus.h"
#include "raster/image.h"
#include "separation/target.h"

namespace powderplan {

struct WeightedColour {
  Lab lab;
  double weight = 0;  // number of grid points
};

struct ColourIndex {
  static constexpr std::uint16_t bare = 0xffff;
  std::vector<WeightedColour> colours;
  Image<std::uint16_t> at;  // which of them, or `bare`
};

// `bare`: 1 where a point does not count; empty: all count. At most `most` colours (up to 65 000); the cells
// grow until that holds, from `finest_cell` Lab units.
inline constexpr double finest_cell = 1.0;
ColourIndex index_colours(const Image<PackedLab>& picture, const Image<std::uint8_t>& bare, std::size_t most);

// Weighted k-means in Lab (Lloyd), started from the colours that lie farthest from those already taken, each
// distance weighted by how often the colour occurs. Fewer than `count` when there are fewer colours.
std::vector<WeightedColour> cluster(const std::vector<WeightedColour>& colours, std::size_t count);

}  // namespace powderplan
