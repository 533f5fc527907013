#include "glass/toml_fault.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <optional>

namespace powderplan {
namespace {

constexpr const char* as_key_and_value = "write each line as key = value, and notes behind a #";

std::string_view trimmed(std::string_view text) {
  constexpr std::string_view blanks = " \t\r";
  const std::size_t begin = text.find_first_not_of(blanks);
  if (begin == std::string_view::npos)
    return {};
  return text.substr(begin, text.find_last_not_of(blanks) - begin + 1);
}

bool has(std::string_view text, std::string_view part) {
  return text.find(part) != std::string_view::npos;
}

// What stands between the first two single quotes of a complaint.
std::string_view quoted_in(std::string_view complaint) {
  const std::size_t begin = complaint.find('\'');
  const std::size_t end = begin == std::string_view::npos ? begin : complaint.find('\'', begin + 1);
  return end == std::string_view::npos ? std::string_view() : complaint.substr(begin + 1, end - begin - 1);
}

// As much of it as a message can hold, cut between letters, and nothing that would move a terminal's cursor.
std::string shown(std::string_view text) {
  constexpr std::size_t most = 40;
  std::string part(text);
  if (text.size() > most) {
    std::size_t end = most;
    while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xc0) == 0x80)
      --end;
    part = std::string(text.substr(0, end)) + "...";
  }
  std::replace_if(
      part.begin(), part.end(), [](unsigned char c) { return c < 0x20 || c == 0x7f; }, '?');
  return part;
}

struct Line {
  std::string_view whole;       // without spaces at its ends
  std::string_view key, value;  // of key = value; the value without the note behind it
  bool has_equals = false;
};

Line parted(std::string_view text) {
  Line line{trimmed(text), {}, {}};
  const std::size_t equals = line.whole.find('=');
  line.has_equals = equals != std::string_view::npos;
  if (!line.has_equals)
    return line;
  line.key = trimmed(line.whole.substr(0, equals));
  line.value = trimmed(line.whole.substr(equals + 1));
  const bool quoted = !line.value.empty() && (line.value.front() == '"' || line.value.front() == '\'');
  if (!quoted)
    line.value = trimmed(line.value.substr(0, line.value.find('#')));
  return line;
}

// 0,4 or -12,75
bool is_decimal_comma(std::string_view value) {
  const std::size_t comma = value.find(',');
  const auto digit = [](unsigned char c) { return std::isdigit(c) != 0; };
  if (comma == std::string_view::npos || comma + 1 == value.size())
    return false;
  std::string_view whole = value.substr(0, comma);
  if (whole.starts_with('-') || whole.starts_with('+'))
    whole.remove_prefix(1);
  const std::string_view decimals = value.substr(comma + 1);
  return !whole.empty() && std::all_of(whole.begin(), whole.end(), digit) &&
         std::all_of(decimals.begin(), decimals.end(), digit);
}

bool is_yes_or_no(std::string_view value) {
  std::string small(value);
  std::transform(small.begin(), small.end(), small.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  constexpr std::array<std::string_view, 6> words{"true", "false", "yes", "no", "on", "off"};
  return std::find(words.begin(), words.end(), small) != words.end();
}

bool begins_like_a_number(std::string_view value) {
  const std::string_view signs = "+-.";
  const std::size_t first = value.find_first_not_of(signs);
  return first <= 2 &&  // so not npos either
         std::isdigit(static_cast<unsigned char>(value[first])) != 0;
}

// Word processors put them for straight ones: U+2018 to U+201F, U+00AB, U+00BB.
bool has_curly_quotes(std::string_view text) {
  for (std::size_t at = text.find("\xe2\x80"); at != std::string_view::npos;
       at = text.find("\xe2\x80", at + 2)) {
    const auto last = at + 2 < text.size() ? static_cast<unsigned char>(text[at + 2]) : 0;
    if (last >= 0x98 && last <= 0x9f)
      return true;
  }
  return has(text, "\xc2\xab") || has(text, "\xc2\xbb");
}

std::optional<TomlFault> of_what_is_there_twice(std::string_view complaint) {
  if (!has(complaint, "cannot redefine"))
    return std::nullopt;
  const std::string_view name = quoted_in(complaint);
  if (!has(complaint, "table header"))
    return TomlFault{fmt::format("the key '{}' is there twice", name), "take one of them out"};
  if (has(complaint, " as "))
    return TomlFault{fmt::format("both [{0}] and [[{0}]] are there", name),
                     "begin each of several with [[...]], and what is there once with [...]"};
  return TomlFault{fmt::format("[{}] is there twice", name), "put all its keys under one of them"};
}

std::optional<TomlFault> of_a_heading(const Line& line, std::string_view complaint) {
  const bool half = !line.has_equals && line.whole.ends_with(']') && !has(complaint, "parsing array");
  if (!has(complaint, "table header") && !half)
    return std::nullopt;
  return TomlFault{fmt::format("\"{}\" is no whole heading", shown(line.whole)),
                   "write [name] or [[name]], alone on its line"};
}

std::optional<TomlFault> of_a_text(const Line& line, std::string_view complaint) {
  if (has(complaint, "escape sequence") || has(complaint, "unicode scalar"))
    return TomlFault{"a \\ in a text means something of its own", "write / in its place, or \\\\"};
  if (has(complaint, "parsing string") || has(complaint, "parsing literal string") ||
      has(complaint, "parsing multi-line")) {
    const char quote = line.value.starts_with('\'') ? '\'' : '"';
    if (!has(complaint, "end-of-file") && std::count(line.whole.begin(), line.whole.end(), quote) % 2 == 0 &&
        !has(line.whole, "\\\""))
      return TomlFault{"a text holds a letter that cannot be shown", "type the text anew"};
    return TomlFault{"the quotes of a text are not closed", "close them on the same line"};
  }
  return std::nullopt;
}

std::optional<TomlFault> of_a_list(const Line& line, std::string_view complaint) {
  if (has(complaint, "inline table"))
    return TomlFault{"what stands in { } is not whole", "write it on one line, as { a = 1, b = 2 }"};
  if (!has(complaint, "parsing array"))
    return std::nullopt;
  if (has(complaint, "end-of-file"))
    return TomlFault{"a list is opened and never closed", "close it with ]"};
  if (has(complaint, "saw comma"))
    return TomlFault{"two commas follow each other in a list", "take one out"};
  return TomlFault{
      fmt::format("in a list, a comma or its ] is missing before or in \"{}\"", shown(line.whole)),
      "put commas between, and ] at its end"};
}

std::optional<TomlFault> of_no_key(const Line& line, std::string_view complaint) {
  if (line.whole.starts_with("//") || line.whole.starts_with(';'))
    return TomlFault{fmt::format("\"{}\" cannot be read", shown(line.whole)), "begin notes with #"};
  if (!has(complaint, "expected '='") && !has(complaint, "expected keys, tables") &&
      !has(complaint, "bare key"))
    return std::nullopt;
  if (!line.has_equals || line.key.empty())
    return TomlFault{fmt::format("\"{}\" is no key with its value", shown(line.whole)), as_key_and_value};
  return TomlFault{fmt::format("\"{}\" can be no key", shown(line.key)),
                   "keys are of plain letters, digits, '-' and '_', without spaces"};
}

std::optional<TomlFault> of_a_value(const Line& line, std::string_view complaint) {
  if (!line.has_equals)
    return std::nullopt;
  const std::string key = shown(line.key), value = shown(line.value);
  if (line.value.empty() && has(line.whole, "#"))
    return TomlFault{fmt::format("'{}' has no value: what follows a # is a note", key),
                     "put a colour in quotes, as \"#c8a040\""};
  if (line.value.empty())
    return TomlFault{fmt::format("'{}' has no value", key), "write it behind the =, or take the line out"};
  if (is_decimal_comma(line.value)) {
    std::string with_point = value;
    std::replace(with_point.begin(), with_point.end(), ',', '.');
    return TomlFault{fmt::format("'{}' is {}, with a comma", key, value),
                     fmt::format("write decimals with a point: {}", with_point)};
  }
  if (is_yes_or_no(line.value))
    return TomlFault{fmt::format("'{}' is {}", key, value), "write true or false, in small letters"};
  if (begins_like_a_number(line.value))
    return TomlFault{fmt::format("'{}' is {}, which is no number", key, value),
                     "write digits alone, with a point for decimals, as 0.4, and no unit"};
  if (line.value.starts_with('"') || line.value.starts_with('\''))
    return TomlFault{fmt::format("'{}' goes on behind its closing quote", key),
                     "put all of it in one pair of quotes; inside them write \\\" for a quote"};
  if (line.value.starts_with('[') || line.value.starts_with('{') || has(complaint, "nested"))
    return std::nullopt;
  return TomlFault{fmt::format("'{}' is {}, without quotes", key, value),
                   fmt::format("put texts in quotes: \"{}\"", value)};
}

}  // namespace

TomlFault toml_fault(std::string_view text, std::string_view complaint) {
  const Line line = parted(text);
  if (has(complaint, "utf-8"))
    return {"is no text in UTF-8", "save it as UTF-8 text"};
  if (auto fault = of_what_is_there_twice(complaint))
    return *fault;
  if (!line.value.starts_with('"') && has_curly_quotes(line.whole))
    return {"curly quotes cannot be read", "type straight ones, as in \"this\""};
  if (has(complaint, "nested value depth"))
    return {"it holds lists in lists in lists without end", "check that you have named the right file"};
  for (const auto& found :
       {of_a_heading(line, complaint), of_a_text(line, complaint), of_a_list(line, complaint),
        of_no_key(line, complaint), of_a_value(line, complaint)})
    if (found)
      return *found;
  return {fmt::format("\"{}\" cannot be read", shown(line.whole)), as_key_and_value};
}

}  // namespace powderplan
