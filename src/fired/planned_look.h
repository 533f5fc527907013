// What a plan looks like from the front in daylight, fast enough to be asked again with other loads.
#pragma once

#include <vector>

#include "colour/tristimulus.h"
#include "raster/image.h"
#include "report/stage.h"

namespace powderplan {

// The colours of these spots (of PlanRecord::spots) under D65, the piece lying on `under`. Amounts of layers
// are not looked at: a light_copy will do.
std::vector<Xyz> looks_of_spots(const PlanRecord& record, const Moment& moment, const Spectrum& under,
                                const std::vector<std::size_t>& spots);

// The whole of it on another grid over the piece, each point the mean of what it covers.
Image<Xyz> look_on_grid(const PlanRecord& record, const Moment& moment, const Spectrum& under,
                        const Grid& grid);

}  // namespace powderplan
