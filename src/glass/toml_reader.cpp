#include "glass/toml_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "glass/toml_fault.h"
#include "nearest_word.h"

namespace powderplan {
namespace {

std::string place(const std::string& file, const toml::node* node) {
  return node != nullptr && node->source().begin ? fmt::format("{}:{}", file, node->source().begin.line)
                                                 : file;
}

// From 1; empty when there is none.
std::string_view line_of(std::string_view text, std::size_t number) {
  for (; number > 1; --number) {
    const std::size_t end = text.find('\n');
    if (end == std::string_view::npos)
      return {};
    text.remove_prefix(end + 1);
  }
  return text.substr(0, text.find('\n'));
}

}  // namespace

TomlTable::TomlTable(const toml::table& table, std::string file, std::string title)
    : table_(table), file_(std::move(file)), title_(std::move(title)) {}

Problem TomlTable::fault(std::string_view key, const std::string& wrong, const std::string& remedy) const {
  return {ProblemKind::input, place_of(key), fmt::format("{}: {}", title_, wrong), remedy};
}

void TomlTable::fail(std::string_view key, const std::string& wrong, const std::string& remedy) const {
  throw fault(key, wrong, remedy);
}

void TomlTable::fail_at(const toml::node& at, const std::string& wrong, const std::string& remedy) const {
  throw Problem(ProblemKind::input, place(file_, &at), fmt::format("{}: {}", title_, wrong), remedy);
}

std::string TomlTable::place_of(std::string_view key) const {
  const toml::node* at = node(key);
  return place(file_, at != nullptr ? at : &table_);
}

void TomlTable::only(std::span<const std::string_view> known) const {
  for (const auto& [key, value] : table_) {
    const std::string_view name = key.str();
    if (std::find(known.begin(), known.end(), name) != known.end())
      continue;
    const auto nearest = nearest_word(name, known);
    const std::string remedy = nearest ? fmt::format("did you mean '{}'?", *nearest)
                                       : fmt::format("remove it; known keys are {}", fmt::join(known, ", "));
    fail(name, fmt::format("unknown key '{}'", name), remedy);
  }
}

void TomlTable::only_tables(std::span<const std::string_view> known) const {
  for (const auto& [key, value] : table_) {
    const std::string_view name = key.str();
    if (std::find(known.begin(), known.end(), name) != known.end())
      continue;
    if (!value.is_table() && !value.is_array_of_tables())
      fail(name, fmt::format("'{}' stands outside all tables", name),
           "move it below the heading that it belongs to");
    const auto nearest = nearest_word(name, known);
    fail(name, fmt::format("[{}] is no table of it", name),
         nearest ? fmt::format("did you mean [{}]?", *nearest)
                 : fmt::format("it has [{}]; check that you have named the right file",
                               fmt::join(known, "], [")));
  }
}

std::optional<std::string> TomlTable::text(std::string_view key) const {
  const toml::node* n = node(key);
  if (n == nullptr)
    return std::nullopt;
  if (!n->is_string())
    fail(key, fmt::format("'{}' must be a text", key), "put it in quotes");
  return n->value<std::string>();
}

double TomlTable::checked_number(std::string_view what, const toml::node& n, Range range) const {
  if (!n.is_number())
    fail_at(n, fmt::format("{} must be a number", what), "write it without quotes");
  const double v = *n.value<double>();
  if (!std::isfinite(v) || !range.holds(v))
    fail_at(n, fmt::format("{} is {}", what, v), fmt::format("it must be {}", text_of(range)));
  return v;
}

std::optional<double> TomlTable::number(std::string_view key, Range range) const {
  const toml::node* n = node(key);
  if (n == nullptr)
    return std::nullopt;
  return checked_number(fmt::format("'{}'", key), *n, range);
}

std::optional<int> TomlTable::whole(std::string_view key, Range range) const {
  const auto v = number(key, range);
  if (!v)
    return std::nullopt;
  if (*v != std::floor(*v))
    fail(key, fmt::format("'{}' is {}", key, *v), "it must be a whole number");
  return static_cast<int>(*v);
}

std::optional<bool> TomlTable::yes_no(std::string_view key) const {
  const toml::node* n = node(key);
  if (n == nullptr)
    return std::nullopt;
  if (!n->is_boolean())
    fail(key, fmt::format("'{}' must be true or false", key), "write it without quotes");
  return n->value<bool>();
}

std::optional<Rgb8> TomlTable::colour(std::string_view key) const {
  const auto written = text(key);
  if (!written)
    return std::nullopt;
  Rgb8 rgb;
  if (!parse_hex(*written, rgb))
    fail(key, fmt::format("'{}' is \"{}\", not a colour", key, *written),
         "write it as \"#rrggbb\", e.g. \"#c8a040\"");
  return rgb;
}

std::optional<Spectrum> TomlTable::spectrum(std::string_view key) const {
  const toml::node* n = node(key);
  if (n == nullptr)
    return std::nullopt;
  const toml::array* list = n->as_array();
  if (list == nullptr || list->size() != band_count)
    fail(key, fmt::format("'{}' must be a list of {} numbers", key, band_count),
         "one for each 10 nm from 400 to 700");
  Spectrum result;
  for (std::size_t i = 0; i < band_count; ++i)
    result[i] = checked_number(fmt::format("number {} of '{}'", i + 1, key), *list->get(i), {0, 1e5});
  return result;
}

std::optional<std::vector<double>> TomlTable::numbers(std::string_view key, std::size_t count,
                                                      Range range) const {
  const toml::node* n = node(key);
  if (n == nullptr)
    return std::nullopt;
  const toml::array* list = n->as_array();
  if (list == nullptr || list->size() != count)
    fail(key, fmt::format("'{}' must be a list of {} numbers", key, count),
         "write them in brackets, with commas between");
  std::vector<double> result;
  for (std::size_t i = 0; i < count; ++i)
    result.push_back(checked_number(fmt::format("number {} of '{}'", i + 1, key), *list->get(i), range));
  return result;
}

std::optional<std::vector<std::pair<double, double>>> TomlTable::pairs(std::string_view key,
                                                                       Range range) const {
  const toml::node* n = node(key);
  if (n == nullptr)
    return std::nullopt;
  const auto refuse = [&] {
    fail(key, fmt::format("'{}' must be a list of pairs of numbers", key),
         "write it as [[0.1, 0.2], [0.3, 0.4]]");
  };
  const toml::array* list = n->as_array();
  if (list == nullptr)
    refuse();
  std::vector<std::pair<double, double>> result;
  for (std::size_t i = 0; i < list->size(); ++i) {
    const toml::array* pair = list->get(i)->as_array();
    if (pair == nullptr || pair->size() != 2)
      refuse();
    const std::string what = fmt::format("pair {} of '{}'", i + 1, key);
    result.emplace_back(checked_number(what, *pair->get(0), range),
                        checked_number(what, *pair->get(1), range));
  }
  return result;
}

std::optional<std::vector<std::string>> TomlTable::text_or_texts(std::string_view key) const {
  if (const toml::node* n = node(key); n != nullptr && n->is_string())
    return std::vector<std::string>{*n->value<std::string>()};
  return texts(key);
}

std::optional<std::vector<std::string>> TomlTable::texts(std::string_view key) const {
  const toml::node* n = node(key);
  if (n == nullptr)
    return std::nullopt;
  const toml::array* list = n->as_array();
  if (list == nullptr ||
      !std::all_of(list->begin(), list->end(), [](const auto& e) { return e.is_string(); }))
    fail(key, fmt::format("'{}' must be a list of texts", key), "write it as [\"a\", \"b\"]");
  std::vector<std::string> result;
  for (const auto& entry : *list)
    result.push_back(*entry.value<std::string>());
  return result;
}

std::string TomlTable::need_text(std::string_view key) const {
  auto v = text(key);
  if (!v)
    fail(key, fmt::format("'{}' is missing", key), "add it");
  if (v->empty())
    fail(key, fmt::format("'{}' is empty", key), "fill it in");
  return *v;
}

double TomlTable::need_number(std::string_view key, Range range) const {
  const auto v = number(key, range);
  if (!v)
    fail(key, fmt::format("'{}' is missing", key), fmt::format("add it: a number, {}", text_of(range)));
  return *v;
}

Rgb8 TomlTable::need_colour(std::string_view key) const {
  const auto v = colour(key);
  if (!v)
    fail(key, fmt::format("'{}' is missing", key), "add it as \"#rrggbb\"");
  return *v;
}

toml::table parse_toml(const std::string& text, const std::string& file) {
  try {
    return toml::parse(text);
  } catch (const toml::parse_error& error) {
    const auto number = error.source().begin.line;
    TomlFault fault = toml_fault(line_of(text, number), error.description());
    throw Problem(ProblemKind::input, fmt::format("{}:{}", file, number), std::move(fault.wrong),
                  std::move(fault.remedy));
  }
}

std::optional<TomlTable> sub_table(const toml::table& root, std::string_view key, const std::string& file) {
  const toml::node* n = root.get(key);
  if (n == nullptr)
    return std::nullopt;
  const toml::table* table = n->as_table();
  if (table == nullptr)
    throw Problem(ProblemKind::input, place(file, n), fmt::format("'{}' must be a table", key),
                  fmt::format("start it with a line [{}]", key));
  return TomlTable(*table, file, fmt::format("[{}]", key));
}

std::vector<TomlTable> table_list(const toml::table& root, std::string_view key, const std::string& file) {
  std::vector<TomlTable> result;
  const toml::node* n = root.get(key);
  if (n == nullptr)
    return result;
  const toml::array* list = n->as_array();
  if (list == nullptr || !list->is_array_of_tables())
    throw Problem(ProblemKind::input, place(file, n), fmt::format("'{}' must be a list of tables", key),
                  fmt::format("start each with a line [[{}]]", key));
  for (const auto& entry : *list)
    result.emplace_back(*entry.as_table(), file, fmt::format("[[{}]] number {}", key, result.size() + 1));
  return result;
}

}  // namespace powderplan
