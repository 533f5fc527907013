// Manual pages in the man macros of roff, section 1.
#pragma once

#include <string>

#include "packaging/described.h"

namespace powderplan {

// powderplan(1): what there is, exit codes, files, cautions. `data_folder` is where palettes and examples are
// installed, seen from where everything is installed: "share/powderplan".
std::string program_page(const DescribedProgram& program, const std::string& data_folder);

// powderplan-plan(1) and the like; `command` is one of the program's.
std::string command_page(const DescribedProgram& program, const DescribedCommand& command);

}  // namespace powderplan
