// What a layer is called in files and on pages.
#pragma once

#include <cstddef>
#include <string>

#include "report/plan_record.h"

namespace powderplan {

// Letters, digits, '-' and '_' of an id; anything else becomes '_', so that it cannot leave its folder.
std::string safe_in_path(const std::string& id);

// "03-heron-grey" for the third layer of the bench: its number, counted from 1, and its powder.
std::string layer_file_stem(const PlanRecord& record, std::size_t layer);

}  // namespace powderplan
