#include "json_reader.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace powderplan {

using nlohmann::json;

JsonPart::JsonPart(const json& value, std::string file, std::string title)
    : value_(&value), file_(std::move(file)), title_(std::move(title)) {
  if (!value.is_object())
    fail("is no object", "write it as { ... } with its keys");
}

void JsonPart::fail(const std::string& wrong, const std::string& remedy) const {
  throw Problem(ProblemKind::input, file_, title_.empty() ? wrong : fmt::format("{}: {}", title_, wrong),
                remedy);
}

bool JsonPart::has(std::string_view key) const {
  const auto at = value_->find(std::string(key));
  return at != value_->end() && !at->is_null();
}

const json& JsonPart::need(std::string_view key) const {
  const auto at = value_->find(std::string(key));
  if (at == value_->end())
    fail(fmt::format("'{}' is missing", key), "add it, or make the file anew");
  return *at;
}

double JsonPart::checked(const std::string& what, const json& value, Range range) const {
  if (!value.is_number())
    fail(fmt::format("{} must be a number", what), "write it without quotes");
  const double number = value.get<double>();
  if (!std::isfinite(number) || !range.holds(number))
    fail(fmt::format("{} is {}", what, number), fmt::format("it must be {}", text_of(range)));
  return number;
}

std::vector<double> JsonPart::checked_list(const std::string& what, const json& value, std::size_t count,
                                           Range range) const {
  if (!value.is_array() || value.size() != count)
    fail(fmt::format("{} must be a list of {} numbers", what, count),
         "write them in brackets, with commas between");
  std::vector<double> numbers;
  for (std::size_t i = 0; i < count; ++i)
    numbers.push_back(checked(fmt::format("number {} of {}", i + 1, what), value[i], range));
  return numbers;
}

std::string JsonPart::text(std::string_view key) const {
  const json& value = need(key);
  if (!value.is_string() || value.get_ref<const std::string&>().empty())
    fail(fmt::format("'{}' must be a text that is not empty", key), "put it in quotes");
  return value.get<std::string>();
}

double JsonPart::number(std::string_view key, Range range) const {
  return checked(fmt::format("'{}'", key), need(key), range);
}

int JsonPart::whole(std::string_view key, Range range) const {
  const double value = number(key, range);
  if (value != std::floor(value))
    fail(fmt::format("'{}' is {}", key, value), "it must be a whole number");
  return static_cast<int>(value);
}

bool JsonPart::truth(std::string_view key) const {
  const json& value = need(key);
  if (!value.is_boolean())
    fail(fmt::format("'{}' must be true or false", key), "write it without quotes");
  return value.get<bool>();
}

std::vector<double> JsonPart::numbers(std::string_view key, std::size_t count, Range range) const {
  return checked_list(fmt::format("'{}'", key), need(key), count, range);
}

JsonPart JsonPart::object(std::string_view key) const {
  return {need(key), file_, title_.empty() ? fmt::format("'{}'", key) : fmt::format("{}, '{}'", title_, key)};
}

std::vector<JsonPart> JsonPart::objects(std::string_view key, std::string_view title) const {
  const json& list = need(key);
  if (!list.is_array())
    fail(fmt::format("'{}' must be a list", key), "write it in brackets, with commas between");
  std::vector<JsonPart> parts;
  for (const json& entry : list) {
    std::string name = fmt::format("{} {}", title, parts.size() + 1);
    parts.emplace_back(entry, file_, title_.empty() ? name : fmt::format("{}, {}", title_, name));
  }
  return parts;
}

std::vector<std::vector<double>> JsonPart::tuples(std::string_view key, std::size_t count,
                                                  Range range) const {
  const json& list = need(key);
  if (!list.is_array())
    fail(fmt::format("'{}' must be a list", key), "write it in brackets, with commas between");
  std::vector<std::vector<double>> all;
  for (const json& entry : list)
    all.push_back(checked_list(fmt::format("entry {} of '{}'", all.size() + 1, key), entry, count, range));
  return all;
}

json parse_json(const std::string& text, const std::string& file, int schema, const JsonKind& kind) {
  if (text.find_first_not_of(" \t\r\n") == std::string::npos)
    throw Problem(ProblemKind::input, file, "is empty", kind.again);
  json document;
  std::string twice;
  std::vector<std::set<std::string>> keys;
  try {
    document = json::parse(text, [&](int, json::parse_event_t event, json& parsed) {
      if (event == json::parse_event_t::object_start)
        keys.emplace_back();
      else if (event == json::parse_event_t::object_end)
        keys.pop_back();
      else if (event == json::parse_event_t::key && !keys.back().insert(parsed.get<std::string>()).second)
        twice = parsed.get<std::string>();
      return true;
    });
  } catch (const json::exception& error) {
    // Whatever is wrong, and a number too large is no parse error, the place is what a person needs.
    const auto* parse_error = dynamic_cast<const json::parse_error*>(&error);
    const std::size_t upto = std::min(text.size(), parse_error != nullptr ? parse_error->byte : 0);
    const auto line =
        1 +
        std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(upto > 0 ? upto - 1 : 0), '\n');
    throw Problem(ProblemKind::input, parse_error != nullptr ? fmt::format("{}:{}", file, line) : file,
                  parse_error != nullptr ? "not valid JSON" : "holds a number that is too large",
                  fmt::format("mend it, or {}", kind.again));
  }
  const auto fail = [&](const std::string& wrong, const std::string& remedy) {
    throw Problem(ProblemKind::input, file, wrong, remedy);
  };
  if (!twice.empty())
    fail(fmt::format("the key '{}' is there twice", twice), "take one of them out");
  if (!document.is_object())
    fail(fmt::format("is not the file of {}", kind.what), "check that you have named the right file");
  const JsonPart root(document, file, "");
  if (!root.has("schema"))
    fail(fmt::format("is not the file of {}: it has no 'schema'", kind.what),
         "check that you have named the right file");
  constexpr Range schemas{1, 1e6};
  if (const int found = root.whole("schema", schemas); found != schema)
    fail(fmt::format("has schema {}, and this program reads {}", found, schema),
         found > schema ? "use a newer powderplan" : kind.again);
  return document;
}

}  // namespace powderplan
