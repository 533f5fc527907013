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

// A text cell on one line (plain_text), quoted where needed. Before = + - or @, in ASCII or as wide as an
// East Asian letter, stands a ' where the text begins, and where it goes on after a semicolon, at which
// spreadsheets of many countries part cells: nothing of a text is taken for a formula. Numbers are no texts
// and stay as they are.
std::string csv_text(std::string_view text);

}  // namespace powderplan
