// grams.csv: every weight of the plan for a spreadsheet.
#pragma once

#include <string>
#include <string_view>

#include "report/plan_record.h"

namespace powderplan {

// RFC 4180, UTF-8, one header record. `kind` says what a record is about: "powder" (the whole plan),
// "firing", "layer" or "region" (one connected piece of a layer, with its centre in mm from the top left
// corner). Cells that a kind has no value for are empty.
std::string grams_csv(const PlanRecord& record);

// A text cell, quoted where needed. Text that a spreadsheet would take for a formula gets a leading '.
std::string csv_text(std::string_view text);

}  // namespace powderplan
