// Another way to a choice: what varies slowly is laid first, as fades over the whole piece, and the layers
// that are left go to stencils for what is finer.
#pragma once

#include <functional>

#include "separation/fade_search.h"

namespace powderplan {

// Fades without templates, each the best there is on top of or below those already chosen, fitted to a part
// of the picture's points; at most `most`. The labels hold bare sheet only, the map is empty.
FadedChoice free_fades(const Painter& painter, const Target& target, const FadeRules& rules,
                       const ChoiceLimits& limits, std::size_t most);

// One stencil more, at the place, of the powder and the load that would lower the cost most if it could open
// point by point; false when none helps. The map stays as it is, with labels renumbered: the new layer opens
// nowhere yet. `seen` is the picture as widths of the smallest kind can show it.
bool add_stencil(FadedChoice& faded, const Painter& painter, const Target& target,
                 const Image<LabPixel>& seen, const ChoiceLimits& limits);

}  // namespace powderplan
