// All pictures of the worksheet, drawn and encoded at the same time.
#pragma once

#include <string>
#include <vector>

#include "report/plan_record.h"

namespace powderplan {

// PNG files in Base64.
struct WorksheetPictures {
  std::string final, target;
  std::string reactions;             // empty when no pair that reacts meets
  std::vector<std::string> steps;    // one a layer
  std::vector<std::string> firings;  // one a firing
};

WorksheetPictures worksheet_pictures(const PlanRecord& record);

}  // namespace powderplan
