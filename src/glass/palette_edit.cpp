#include "glass/palette_edit.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "glass/palette.h"
#include "glass/toml_reader.h"
#include "glass/toml_text.h"
#include "problem.h"

namespace powderplan {
namespace {

// What happens to the text: bytes [begin, end) become `text`.
struct Change {
  std::size_t begin = 0, end = 0;
  std::string text;
};

[[noreturn]] void fail(const std::string& place, const std::string& wrong, const std::string& remedy) {
  throw Problem(ProblemKind::input, place, wrong, remedy);
}

std::string at_line(const std::string& text, const std::string& file, std::size_t place) {
  const auto end = text.begin() + static_cast<std::ptrdiff_t>(std::min(place, text.size()));
  return fmt::format("{}:{}", file, 1 + std::count(text.begin(), end, '\n'));
}

// As the lines of the file end, told by the first.
std::string line_break_of(const std::string& text) {
  const std::size_t at = text.find('\n');
  return at != std::string::npos && at > 0 && text[at - 1] == '\r' ? "\r\n" : "\n";
}

std::string with_line_breaks(const std::string& value, const std::string& line_break) {
  std::string out;
  for (std::size_t i = 0; i < value.size(); ++i) {
    if (value[i] == '\r' && i + 1 < value.size() && value[i + 1] == '\n')
      continue;
    if (value[i] == '\n')
      out += line_break;
    else
      out += value[i];
  }
  return out;
}

void check_key(const KeyEdit& edit) {
  const auto bare = [](unsigned char c) {
    return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_' || c == '-';
  };
  if (edit.key.empty() || !std::all_of(edit.key.begin(), edit.key.end(), bare))
    throw Problem(ProblemKind::other, edit.key, "is no key of a powder", "use letters, digits, '-' and '_'");
  if (!edit.value)
    return;
  // One value, and nothing behind it.
  const std::string line = "v = " + *edit.value;
  const toml::table parsed = parse_toml(line + "\n", "the new value of " + edit.key);
  if (parsed.size() != 1 || end_of_toml_value(line, line.find('=') + 2) != line.size())
    throw Problem(ProblemKind::other, edit.key, "its new value is more than one value",
                  "give one TOML value");
}

// The powders' tables in the text, in the order of the parsed ones.
std::vector<TomlTablePlace> powder_tables(const std::string& text, const std::string& file,
                                          const Palette& palette) {
  std::vector<TomlTablePlace> powders;
  for (TomlTablePlace& table : tables_in(text)) {
    for (const TomlKeyPlace& key : table.keys)
      if (table.name.empty() && (key.key == "powder" || key.key.starts_with("powder.")))
        fail(at_line(text, file, key.line_begin), "the powders are written as a list in brackets",
             "write each as a table of its own that begins with a line [[powder]]");
    if (table.name == "powder" && table.listed)
      powders.push_back(std::move(table));
  }
  if (powders.size() != palette.powders.size())
    fail(file, "the powders are written in a form that cannot be changed in place",
         "write each as a table of its own that begins with a line [[powder]], its keys one a line");
  return powders;
}

std::string indent_of(const std::string& text, const TomlKeyPlace& key) {
  const std::size_t end = text.find_first_not_of(" \t", key.line_begin);
  return text.substr(key.line_begin, end - key.line_begin);
}

// A line to be put in at `at`, which is behind a line break or at the end of a text without one.
std::string line_at(const std::string& text, std::size_t at, const std::string& line,
                    const std::string& line_break) {
  const bool open = at > 0 && text[at - 1] != '\n';
  return open ? line_break + line : line + line_break;
}

std::string applied(const std::string& text, std::vector<Change> changes) {
  std::stable_sort(changes.begin(), changes.end(),
                   [](const Change& a, const Change& b) { return a.begin < b.begin; });
  std::string out;
  std::size_t from = 0;
  for (const Change& change : changes) {
    out += text.substr(from, change.begin - from) + change.text;
    from = change.end;
  }
  return out + text.substr(from);
}

toml::table& powder_node(toml::table& root, std::size_t index) {
  return *root.get("powder")->as_array()->get(index)->as_table();
}

// What was to change is as it was to be, and the rest is as it was.
void check_nothing_else_changed(toml::table before, toml::table after,
                                const std::vector<std::pair<std::size_t, PowderEdit>>& edits,
                                const std::string& file) {
  bool as_wished = true;
  for (const auto& [index, edit] : edits) {
    toml::table &was = powder_node(before, index), &is = powder_node(after, index);
    for (const KeyEdit& key : edit.keys) {
      toml::table wished;
      if (key.value)
        wished = parse_toml("v = " + *key.value + "\n", file);
      const toml::node *value = is.get(key.key), *wish = wished.get("v");
      as_wished = as_wished && (value != nullptr) == (wish != nullptr);
      if (value != nullptr && wish != nullptr) {
        toml::table found;
        found.insert("v", *value);
        as_wished = as_wished && found == wished;
      }
      was.erase(key.key);
      is.erase(key.key);
    }
  }
  if (!as_wished || before != after)
    fail(file, "cannot be changed without damage to the rest of it",
         "write each powder as a table that begins with a line [[powder]], its keys one a line");
}

void check_keys(const std::vector<PowderEdit>& edits) {
  std::set<std::pair<std::string, std::string>> seen;
  for (const PowderEdit& edit : edits)
    for (const KeyEdit& key : edit.keys) {
      check_key(key);
      if (key.key == "id" || !seen.insert({edit.id, key.key}).second)
        throw Problem(ProblemKind::other, key.key, "is no key that can be changed here",
                      "change each key of a powder once, and never its id");
    }
}

}  // namespace

std::string edit_powders(const std::string& text, const std::string& file,
                         const std::vector<PowderEdit>& edits) {
  check_keys(edits);
  const Palette palette = parse_palette(text, file);
  const std::vector<TomlTablePlace> tables = powder_tables(text, file, palette);
  const std::string line_break = line_break_of(text);
  std::vector<Change> changes;
  std::vector<std::pair<std::size_t, PowderEdit>> done;
  for (const PowderEdit& edit : edits) {
    const Powder* powder = palette.find_powder(edit.id);
    if (powder == nullptr)
      fail(file, fmt::format("there is no powder \"{}\" in it", edit.id), "check its id");
    const auto index = static_cast<std::size_t>(powder - palette.powders.data());
    const TomlTablePlace& table = tables[index];
    done.emplace_back(index, edit);
    for (const KeyEdit& key : edit.keys) {
      const auto there = std::find_if(table.keys.begin(), table.keys.end(),
                                      [&](const TomlKeyPlace& place) { return place.key == key.key; });
      if (there != table.keys.end() && key.value) {
        changes.push_back({there->value_begin, there->value_end, with_line_breaks(*key.value, line_break)});
      } else if (there != table.keys.end()) {
        changes.push_back({there->line_begin, there->line_end, ""});
      } else if (key.value) {
        const TomlKeyPlace& last = table.keys.back();
        const std::string line = fmt::format("{}{} = {}", indent_of(text, last), key.key,
                                             with_line_breaks(*key.value, line_break));
        changes.push_back({last.line_end, last.line_end, line_at(text, last.line_end, line, line_break)});
      }
    }
  }
  std::string result = applied(text, std::move(changes));
  (void)parse_palette(result, file);
  check_nothing_else_changed(parse_toml(text, file), parse_toml(result, file), done, file);
  return result;
}

std::string add_powder(const std::string& text, const std::string& file, const std::vector<KeyEdit>& keys) {
  for (const KeyEdit& key : keys)
    check_key(key);
  const Palette palette = parse_palette(text, file);
  const std::string line_break = line_break_of(text);
  std::size_t at = powder_tables(text, file, palette).back().keys.back().line_end;
  // Comments right below the last key belong to it, unless they are the heading of what comes next.
  std::size_t beyond = at;
  while (beyond < text.size()) {
    const std::size_t first = text.find_first_not_of(" \t", beyond);
    if (first == std::string::npos || text[first] != '#')
      break;
    const std::size_t end = text.find('\n', first);
    beyond = end == std::string::npos ? text.size() : end + 1;
  }
  const std::size_t next = text.find_first_not_of(" \t", beyond);
  if (next == std::string::npos || text[next] == '\n' || text[next] == '\r')
    at = beyond;

  const bool open = at > 0 && text[at - 1] != '\n';
  std::string table = (open ? line_break : "") + line_break + "[[powder]]" + line_break;
  for (const KeyEdit& key : keys)
    table += fmt::format("{} = {}{}", key.key, with_line_breaks(key.value.value_or("\"\""), line_break),
                         line_break);
  if (open)
    table.resize(table.size() - line_break.size());
  std::string result = text.substr(0, at) + table + text.substr(at);

  const Palette now = parse_palette(result, file);
  toml::table before = parse_toml(text, file), after = parse_toml(result, file);
  toml::array& list = *after.get("powder")->as_array();
  toml::table wished;
  for (const KeyEdit& key : keys)
    wished.insert(key.key, *parse_toml("v = " + key.value.value_or("\"\"") + "\n", file).get("v"));
  const bool as_wished = list.size() == palette.powders.size() + 1 && *list.back().as_table() == wished;
  list.pop_back();
  if (!as_wished || before != after)
    fail(file, "cannot take another powder without damage to the rest of it",
         "write each powder as a table that begins with a line [[powder]], its keys one a line");
  return result;
}

std::string toml_value(double number) {
  return fmt::format("{}", number);
}

std::string toml_value(const Spectrum& numbers) {
  constexpr std::size_t on_a_line = 8;
  std::string list = "[";
  for (std::size_t i = 0; i < band_count; ++i)
    list += fmt::format("{}{}", i % on_a_line == 0 ? "\n  " : " ",
                        toml_value(numbers[i]) + (i + 1 < band_count ? "," : ""));
  return list + "\n]";
}

std::string toml_value(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    const auto code = static_cast<unsigned char>(c);
    if (c == '"' || c == '\\')
      out += fmt::format("\\{}", c);
    else if (code < 0x20 || code == 0x7f)
      out += fmt::format("\\u{:04X}", code);
    else
      out += c;
  }
  return out + "\"";
}

}  // namespace powderplan
