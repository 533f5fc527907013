// Options as texts: what they mean is judged by us, in our words, not by the parser of the command line.
#pragma once

#include <CLI/App.hpp>
#include <functional>
#include <string>
#include <string_view>
#include <vector>

namespace powderplan {

// A flag ("--width") or a place without one ("IMAGE") with one value each time. `take` gets all values that
// were given, once, after the line is parsed.
CLI::Option* add_text(CLI::App& command, std::string_view name, std::string_view value, std::string help,
                      std::function<void(std::vector<std::string>)> take);

// The same, kept as said.
CLI::Option* add_text(CLI::App& command, std::string_view name, std::string_view value, std::string help,
                      std::vector<std::string>& said);

// Layout of the help of this program and of the commands that are added later.
void set_layout(CLI::App& app);

}  // namespace powderplan
