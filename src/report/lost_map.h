// Where fine detail of the picture is lost.
#pragma once

#include "report/preview.h"

namespace powderplan {

// The target in pale grey, what is lost of it in the mark colour, the more the more it differs from the
// ground round it; and below it a strip that says what that means. The record must have a map
// (PlanRecord::lost_detail). A map narrower than the strip needs is followed by white to its right.
PictureRows<Rgb8> lost_map(const PlanRecord& record);

}  // namespace powderplan
