// How a photo of a card is to be read, as said on the command line.
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <vector>

#include "photo/card_photo.h"

namespace powderplan {

// `marks`: eight numbers; `reference`: paper, paper=0.85, grey, grey=0.18, or the CSV file of a printed chart
// (photo/chart_file.h). Empty: found, and paper. Throws Problem (command_line), or (input) for the chart.
PhotoRules photo_rules(const std::vector<std::string>& marks, const std::vector<std::string>& reference);

// Four places in a photo, as eight numbers.
std::array<PhotoPoint, 4> four_places(const std::string& flag, const std::vector<std::string>& said);

inline constexpr std::string_view reference_help =
    "white by: paper, paper=0.85, grey, grey=0.18, a chart's CSV file [paper]";

}  // namespace powderplan
