// The rest of a separation planned anew, when some of its layers lie already, and not as heavy as was meant.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "recipe/painter.h"
#include "separation/separate.h"
#include "separation/separation.h"
#include "separation/target.h"

namespace powderplan {

// A layer of a separation that lies on the glass.
struct LaidLayer {
  std::size_t nest = 0, step = 1;  // as of Fade
  // What its load is worth, as a multiple of what was planned: 1.2 is a fifth more.
  double strength = 1;
  // 1 where some of it lies. Bridges and repairs may have closed what its labels have.
  Image<std::uint8_t> there;
};

struct RestOfSeparation {
  Separation separation;
  // Where each nest of the planned separation is in this one; nothing where it lies nowhere.
  std::vector<std::optional<std::size_t>> nest_of_planned;
};

// The separation with the loads of what lies as they are, and where they are, and the others' openings, loads
// and fades anew for the target, and other powders where they serve clearly better. Where that comes
// out no nearer to the target than going on as planned, they stay as they were. Nests and their order stay.
// `rules.choice` is not used. The labels of `planned` must obey the width rule in all layers that do not lie
// yet, and do so afterwards.
//
// `left`: how what lies differs from what its loads explain, Lab, on the grid; empty: nowhere. It shows
// through what comes above by as much as a change of what lies would.
RestOfSeparation separate_on(const Separation& planned, const std::vector<LaidLayer>& laid,
                             const Painter& painter, const Target& target, const SeparationRules& rules,
                             const Image<LabPixel>& left = {});

}  // namespace powderplan
