// The panels of a piece in plan.json.
#pragma once

#include <nlohmann/json_fwd.hpp>

#include "json_reader.h"
#include "report/plan_record.h"

namespace powderplan {

// [{name, row, column (from 1), box_mm: [left, top, right, bottom], folder, layers: [{index, lands_g, sift_g,
// overspill_g, stencil, lines, scratched}]}]: `stencil` is its SVG, or null where the layer has no opening in
// the panel; `lines` and `scratched` the drawings of such layers.
nlohmann::ordered_json panels_json(const PlanRecord& record);
// [{from_mm: [x, y], to_mm: [x, y], crosses}], in the order of cutting.
nlohmann::ordered_json panel_cuts_json(const PlanRecord& record);

// Reads both back. Throws Problem (input) when they do not fit the grid.
PanelLayout read_panels(const JsonPart& root, const Grid& grid);

}  // namespace powderplan
