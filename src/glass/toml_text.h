// Where the tables and keys of a TOML text lie in it, for those who change it and keep every other byte.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace powderplan {

// Places are bytes from the beginning of the text; an end is behind the last byte.
struct TomlKeyPlace {
  std::string key;  // dots between the parts of a dotted one
  std::size_t line_begin = 0, value_begin = 0, value_end = 0;
  std::size_t line_end =
      0;  // behind the line break, comment included; the end of the text where there is none
};

struct TomlTablePlace {
  std::string name;     // dots between the parts; empty for the keys before the first header
  bool listed = false;  // [[name]]
  std::size_t line_begin = 0, line_end = 0;  // of its header
  std::vector<TomlKeyPlace> keys;
};

// In the order of the text, the nameless one first. Needs valid TOML (parse it before); escapes in quoted
// keys stay as they are written.
std::vector<TomlTablePlace> tables_in(std::string_view text);

// The end of the value that begins at `begin`: a string of any kind, a list or table in brackets, or a word.
std::size_t end_of_toml_value(std::string_view text, std::size_t begin);

}  // namespace powderplan
