// Changes the text of a palette file and keeps every other byte: comments, order, spacing, line ends.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "colour/spectrum.h"

namespace powderplan {

// One key of a powder. `value` is TOML text and may span lines; empty: the key goes, with its lines and the
// comment behind its value.
struct KeyEdit {
  std::string key;
  std::optional<std::string> value;
};

struct PowderEdit {
  std::string id;
  std::vector<KeyEdit> keys;  // not "id", each once
};

// The text with these keys of these powders set or removed. A key that is there keeps its place and the
// comment behind it; a new one comes after the last of its powder, indented like that one; removing one that
// is not there changes nothing. Throws Problem (input), naming `file` and where it can the line: the text is
// no palette before or after; there is no such powder; its powders are written in a form that cannot be
// changed in place (a list in brackets). What comes out has been parsed and compared: nothing but these keys
// differs.
std::string edit_powders(const std::string& text, const std::string& file,
                         const std::vector<PowderEdit>& edits);

// The text with one more [[powder]] after the last. `keys` as they are to stand there, "id" among them.
// Throws as above; also where the id is there already.
std::string add_powder(const std::string& text, const std::string& file, const std::vector<KeyEdit>& keys);

// Values as TOML text that reads back to the same.
std::string toml_value(double number);
std::string toml_value(const Spectrum& numbers);  // a list on lines of eight, which ends with its bracket
std::string toml_value(const std::string& text);

}  // namespace powderplan
