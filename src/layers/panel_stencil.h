// The stencil of one panel: what of the whole stencil lies in it, on a sheet of its own.
#pragma once

#include "layers/panel_cuts.h"
#include "layers/stencil.h"

namespace powderplan {

// Nobody cuts a narrower opening with a knife (common practice, no source): what a cut leaves of one along a
// panel's edge is left out.
inline constexpr Millimetres least_cut_opening{0.5};
// Of a panel's stencil, where the whole one has less: all that reaches the panel's edge hangs on it.
inline constexpr Millimetres least_panel_border{10};

// Marks stand at the same places of neighbours' edges: at every multiple of mark_step from the piece's top
// left corner that is at least edge_mark_clear from the ends of the edge. They lie across the edge,
// mark_length long, and begin edge_mark_clear beyond it, or `smallest` where that is more. None beside a pin,
// and none where the border is too narrow.
inline constexpr Millimetres mark_step{25};
inline constexpr Millimetres mark_length{4}, edge_mark_clear{2};

// `whole`: the stencil of the piece; `panel`: of it. Places are from the panel's top left corner.
// Openings are those of `whole` within the box, each simple and apart from the others, and end exactly at its
// edges, so that those of neighbours meet. Pins stand where pin_places puts them, marks on the edges that the
// panel shares.
//
// The sheet hangs together if the whole one does, by webs as wide. Openings have no islands, and parting them
// along lines makes none: any part of the sheet that was held across the panel's edge lies on that edge with
// a length not below the narrowest web between it and what held it, and there it hangs on the border.
Stencil panel_stencil(const Stencil& whole, const BoxMm& panel, const StencilRules& rules);

}  // namespace powderplan
