// A printed chart's values from a file.
#pragma once

#include <filesystem>
#include <string>

#include "photo/card_photo.h"

namespace powderplan {

// Comma-separated: the header row,column,l,a,b, then one line for each patch, rows and columns counted from 1
// at the top left, in any order. Lab relative to D50, or to D65 when a first line says `# white D65`; `#
// white D50` may stand there too. Adapted to D65 by Bradford. Throws Problem (input) that names the line:
// unreadable, another header, not a number, outside its range, a patch twice or missing, no whole rectangle.
ChartReference read_chart(const std::filesystem::path& file);
// The same from text; `name` stands in messages.
ChartReference parse_chart(const std::string& text, const std::string& name);

}  // namespace powderplan
