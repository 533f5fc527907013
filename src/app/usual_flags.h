// What several commands take alike.
#pragma once

#include <string>
#include <vector>

#include "glass/palette.h"
#include "report/paper.h"

namespace powderplan {

// Throws Problem (command_line) where nothing was said behind the flag.
void need(const std::vector<std::string>& said, const char* flag, const char* remedy);

// The palettes in these files as one shelf; there must be one. Throws Problem as parse_palette and merge do.
Palette shelf_in(const std::vector<std::string>& files);

// Behind --paper: a4 or letter; nothing said: a4.
const Paper& paper_said(const std::vector<std::string>& said);

}  // namespace powderplan
