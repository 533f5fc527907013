// What stencils raised on spacers cost: their edges come out soft.
#pragma once

#include <vector>

#include "layers/layer.h"
#include "separation/target.h"

namespace powderplan {

// The layers as they come out: the amounts of those that are `raised` (one entry a layer) blurred, so that an
// edge takes `softening` from 10 to 90 % of the load. Other layers are as they were.
std::vector<Layer> softened(const std::vector<Layer>& layers, const std::vector<bool>& raised,
                            Millimetres softening, const Grid& grid);

// For each layer what blurring the edge of its template costs, in CIEDE2000 times cm2: along the edge the
// colours of both sides mix over a strip, and there the mean difference is that between them times 0.80
// standard deviations of the blur (the integral of |step - normal distribution|). `look` is the picture as
// planned, one colour a point. Within 5 % for near colours along rows and columns; a slanting edge is counted
// point by point and so up to 1.42 times too dear, and far colours, whose differences do not add up, from
// three quarters of it to one and a half times.
std::vector<double> softening_costs(const std::vector<Layer>& layers, const Image<PackedLab>& look,
                                    Millimetres softening, const Grid& grid);

}  // namespace powderplan
