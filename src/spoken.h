// Words as they are spoken, for pages and messages.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace powderplan {

// "left", "left and top", "left, top and bottom"; empty for none.
std::string spoken(const std::vector<std::string>& words);

// "1 stencil", "3 stencils".
std::string counted(std::size_t count, std::string_view thing);

}  // namespace powderplan
