// Steps that making a plan and making the rest of one anew have in common.
#pragma once

#include <string>
#include <vector>

#include "colour/observer.h"
#include "firing/firing.h"
#include "layers/layer.h"
#include "layers/stencil.h"
#include "plan/request.h"
#include "raster/fit.h"
#include "recipe/painter.h"
#include "recipe/shelf_reach.h"
#include "report/plan_record.h"
#include "separation/fade_search.h"

namespace powderplan {

// The palettes of the request as one shelf; each is added to `inputs`.
Palette read_shelf(const PlanRequest& request, std::vector<InputFile>& inputs);

// The picture on the grid of the piece, as rows that are made when they are asked for.
FittedRows fitted_picture(const PlanRequest& request, std::vector<std::string>& notes);
// What target_of made of it, before it was fitted to the shelf, from the file once more. Throws Problem
// (input) when the file is no longer that of this fingerprint.
Image<PackedLab> picture_again(const PlanRequest& request, const std::string& sha256_before);

// Each throws Problem (command_line) for what it does not know.
Spectrum backing_spectrum(const std::string& colour);
Observer observer_under(const std::string& light);

// What the request asks of the firings, with what is to be kept apart because it reacts, for the median grain
// of the usable powders. `record` must have palette and pair prices.
FiringLimits limits_of_firings(const PlanRequest& request, const PlanRecord& record,
                               const std::vector<std::size_t>& usable);

// What these powders can reach on the painter's sheet, three at a spot, 0.8 full loads over all firings.
ShelfReach reach_of_shelf(const Painter& painter, const std::vector<std::size_t>& usable);

FadeRules fades_wanted(const PlanRequest& request, std::vector<PowderWays> ways);
StencilRules stencil_rules(const PlanRequest& request);

// Which firings there will be is not known when colours are chosen: that is done for the heat of the last one
// alone. Needs palette, backing and limits of the record.
Painter painter_for_last_firing(const PlanRequest& request, const PlanRecord& record, const Sheet& sheet,
                                const Observer& observer);

// What follows from layers and firings: the panels of a piece that is larger than the shelf, unless `record`
// has them already; spots, where glasses meet and what is to be known of that, sheets and repeats of the
// stencils, how each fade is laid, weights.
void look_over(PlanRecord& record, const PlanRequest& request, const Target& target);

// The firings of the layers. What raising each stencil costs the picture takes a look at all of it, so it is
// asked for only where stencils have to be raised; before that it decides nothing.
FiringPlan planned_firings(const std::vector<Layer>& layers, const KilnLimits& kiln, const Painter& painter,
                           const Grid& grid);

}  // namespace powderplan
