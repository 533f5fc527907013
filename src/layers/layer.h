// Layers: one powder put down once, in one way, in one firing.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>
#include <vector>

#include "layers/cut_stencil.h"
#include "layers/line_paths.h"
#include "raster/bit_mask.h"
#include "raster/image.h"
#include "separation/separation.h"
#include "shape.h"
#include "units.h"

namespace powderplan {

enum class Technique { stencil, fade, line };
std::string_view name_of(Technique technique);

// How much of a layer's load lies at a grid point, in 255ths: finer than any hand, coarse enough that points
// of the same look are computed once. The files of a plan hold them in 65535ths (report/amount_file.h).
using Amount = std::uint8_t;
inline constexpr Amount whole_amount = 255;

// A connected piece of one layer, largest first, numbered from 1.
struct Region {
  int id = 0;
  double area_cm2 = 0;
  double amount_cm2 = 0;  // area times amount: what the load is multiplied with
  PointMm centre;         // from the top left corner of the piece
  BoxMm box;
  double expected_de00 = 0;  // as of the layer
};

struct Layer {
  std::size_t powder = 0;  // place in Palette::powders
  std::size_t nest = 0;    // which nest of the choice
  int step = 1;            // 1: its largest opening, 2: the next, ...
  Technique technique = Technique::stencil;
  Load load;
  Image<Amount> amount;
  // Where its template is open. Empty when it is laid without one; a fade with a template ends crisply at its
  // edge.
  BitMask open;
  // Technique line: what the hand draws, as wide as it lays it.
  std::optional<LinePlan> lines;
  // What is scratched out of the loose powder once this layer is laid, and through whatever else lies loose
  // there. `amount` is that after scratching, in this layer and in those below.
  std::optional<LinePlan> scratched;
  double scratched_cm2 = 0;             // area times amount that was laid and is scratched out again
  std::optional<CutStencil> stencil{};  // its template, once bridge_layers has made it
  double area_cm2 = 0;                  // of all points where some of it lies
  double amount_cm2 = 0;                // area times amount
  // How far off its predicted colours are expected to be, mean (report/expected_error.h).
  double expected_de00 = 0;
  std::vector<Region> regions;
};

// Areas and regions from the amounts.
void measure(Layer& layer, const Grid& grid);

// The id of the region at each grid point, 0 where there is none.
Image<std::int32_t> regions_at(const Layer& layer);

// The layers of a separation in an order that can be laid, and that lets each lie on those before it: nests
// from the bottom up, the layers of a nest smallest opening first. Layers that lie nowhere are left out.
// Areas and regions are filled in.
std::vector<Layer> make_layers(const Separation& separation);

}  // namespace powderplan
