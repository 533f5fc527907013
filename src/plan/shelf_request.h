// What a request says of the kiln's shelf, and the panels that follow from it.
#pragma once

#include <string>

#include "layers/panel_cuts.h"
#include "plan/answer.h"
#include "plan/request.h"
#include "report/plan_record.h"
#include "separation/target.h"

namespace powderplan {

// "500x400": width and height in mm. The answer fails when it is none.
ShelfSize shelf_size_of(const Answer& answer);
std::string in_words(const ShelfSize& size);

// Throws Problem (command_line) when too little of the shelf is left within its margins.
void check_shelf_room(const PlanRequest& request);

// Throws Problem (infeasible) when the piece would be cut into more than most_panels.
void check_panel_count(const PlanRequest& request, const Grid& grid);

// The shelf and the panels of the record, and what is to be known of them. Panels that are there stay. The
// record must have its separation and its layers.
void set_up_panels(PlanRecord& record, const PlanRequest& request, const Target& target);

}  // namespace powderplan
