// The separation of a plan as files of its folder, so that the rest of a plan can be planned anew.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "glass/palette.h"
#include "report/plan_record.h"

namespace powderplan {

// Where, in the plan's folder, the picture leaves the sheet bare: 16-bit grey, all of it where it does. Only
// a plan that has such places has the file.
inline constexpr std::string_view bare_file = "separation/bare.png";

// Choice, labels and fades as JSON; powders by their ids. The map of labels is a picture of its own, 16-bit
// grey, its values the labels.
std::string separation_json(const PlanRecord& record);

// Back again. Throws Problem (input) with `file` as its place: no such file of ours, a powder that the
// palette does not hold, a label of the map that is not listed.
Separation read_separation(const std::string& json, const std::string& file, Image<std::uint16_t> label_at,
                           const Grid& grid, const Palette& palette);

}  // namespace powderplan
