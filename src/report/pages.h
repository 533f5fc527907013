// The page templates (Mustache) that are built into the library; their sources lie in pages/.
#pragma once

#include <string_view>

namespace powderplan {

// By file name, e.g. "worksheet.html". Empty when there is no such page.
std::string_view page_named(std::string_view name);

}  // namespace powderplan
