#pragma once

#include <string_view>

namespace powderplan {

// As the project states it, e.g. "0.1.0".
std::string_view program_version();

}  // namespace powderplan
