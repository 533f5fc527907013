// Typed reading of JSON, with the user's file and the place in it in every complaint.
#pragma once

#include <initializer_list>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "problem.h"
#include "range.h"

namespace powderplan {

// One value of a document, which must outlive it. Every complaint is a Problem (input) whose place is the
// file.
class JsonPart {
 public:
  // `title` names the value in messages, e.g. "row 2"; empty for the whole document.
  JsonPart(const nlohmann::json& value, std::string file, std::string title);

  [[noreturn]] void fail(const std::string& wrong, const std::string& remedy) const;

  // Of an object; each fails when the key is missing or of another type.
  [[nodiscard]] bool has(std::string_view key) const;  // and is not null
  [[nodiscard]] std::string text(std::string_view key) const;
  [[nodiscard]] double number(std::string_view key, Range range) const;
  [[nodiscard]] int whole(std::string_view key, Range range) const;
  [[nodiscard]] bool truth(std::string_view key) const;
  [[nodiscard]] std::vector<double> numbers(std::string_view key, std::size_t count, Range range) const;
  [[nodiscard]] JsonPart object(std::string_view key) const;
  // The objects of a list; `title` with its number, from 1, names each.
  [[nodiscard]] std::vector<JsonPart> objects(std::string_view key, std::string_view title) const;
  // Each entry of a list holds `count` numbers.
  [[nodiscard]] std::vector<std::vector<double>> tuples(std::string_view key, std::size_t count,
                                                        Range range) const;

  [[nodiscard]] const std::string& title() const { return title_; }
  [[nodiscard]] const std::string& file() const { return file_; }

 private:
  [[nodiscard]] const nlohmann::json& need(std::string_view key) const;
  [[nodiscard]] double checked(const std::string& what, const nlohmann::json& value, Range range) const;
  [[nodiscard]] std::vector<double> checked_list(const std::string& what, const nlohmann::json& value,
                                                 std::size_t count, Range range) const;

  const nlohmann::json* value_;
  std::string file_, title_;
};

// What a file should be ("a step tile"), and how to come by a good one ("make the tile again").
struct JsonKind {
  std::string what, again;
};

// Parses the text; throws Problem (input) with file and line when it is no JSON, an object is not what it
// holds, a key is there twice, or `schema` is not the number under "schema".
nlohmann::json parse_json(const std::string& text, const std::string& file, int schema, const JsonKind& kind);

}  // namespace powderplan
