// Which sheet serves a picture best.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "glass/palette.h"
#include "recipe/painter.h"
#include "report/plan_record.h"
#include "separation/choice_search.h"
#include "separation/target.h"

namespace powderplan {

// The place in palette.sheets of the sheet with the id `wanted`, or for "auto" of the one on which a quick
// search comes nearest to the picture as it is; where the picture is transparent the bare sheet should look
// like paper. `trials` gets what each sheet reached, best first; it stays empty when the sheet was named.
// Throws Problem (command_line) for an unknown id.
std::size_t choose_base(const std::string& wanted, const Palette& palette,
                        const std::function<Painter(const Sheet&)>& painter_on, const Target& target,
                        Millimetres smallest, const ChoiceLimits& limits, std::vector<BaseTrial>& trials);

}  // namespace powderplan
