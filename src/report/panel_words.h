// The panels of a piece in words: names, sizes, cuts and joins.
#pragma once

#include <string>

#include "report/plan_record.h"

namespace powderplan {

// Of the panel at this place in PanelLayout::panels: "panel-3", in files and folders.
std::string panel_name(std::size_t panel);
std::string panel_folder(std::size_t panel);  // "panels/panel-3"

// To a tenth of a millimetre, without zeros: "312", "312.5".
std::string panel_mm(double mm);
// "312 x 200 mm" with the sign of multiplication.
std::string size_in_words(const BoxMm& box);

// "from top to bottom" or "from left to right", and "312 mm from the left edge".
std::string way_in_words(const PanelCut& cut);
std::string place_in_words(const PanelCut& cut);

// Each of these needs panels. What is fired one after the other on one shelf: "6 panels".
std::string panels_in_words(const PanelLayout& layout);
// "the cuts cross 12 changes of colour; as many evenly spaced would cross 40".
std::string crossings_in_words(const PanelLayout& layout);
// A note on what the predicted pictures leave out.
std::string joins_in_words(const PlanRecord& record);

}  // namespace powderplan
