// Parsing, with complaints in our own words.
#pragma once

#include <CLI/App.hpp>
#include <optional>
#include <string>
#include <vector>

namespace powderplan {

// Parses the words after the program's name into `app`. Returns the text that was asked for instead of work
// (help, version). Throws Problem (command_line), its place the word or the flag.
std::optional<std::string> parse_command_line(CLI::App& app, const std::vector<std::string>& words);

}  // namespace powderplan
