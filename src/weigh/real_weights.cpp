#include "weigh/real_weights.h"

#include <fmt/format.h>

#include <charconv>
#include <cmath>
#include <string_view>

#include "json_reader.h"
#include "problem.h"
#include "range.h"

namespace powderplan {
namespace {

constexpr Range layer_numbers{1, 10000};
constexpr Range layer_grams{0, 1e6, "g"};
constexpr int schema = 1;

using RealWeights = std::map<int, Grams>;

RealWeights from_json(const std::string& text, const std::string& file) {
  const nlohmann::json document = parse_json(text, file, schema, "real weights");
  RealWeights weights;
  for (const JsonPart& layer : JsonPart(document, file, "").objects("layers", "entry")) {
    const int index = layer.whole("index", layer_numbers);
    if (!weights.emplace(index, Grams(layer.number("grams", layer_grams))).second)
      layer.fail(fmt::format("layer {} is there twice", index), "add its grams up and write it once");
  }
  return weights;
}

std::string_view trimmed(std::string_view text) {
  const std::size_t from = text.find_first_not_of(" \t\r");
  return from == std::string_view::npos ? "" : text.substr(from, text.find_last_not_of(" \t\r") - from + 1);
}

class CsvReader {
 public:
  explicit CsvReader(std::string file) : file_(std::move(file)) {}

  RealWeights read(std::string_view text) {
    RealWeights weights;
    bool head = false;
    while (!text.empty()) {
      ++line_;
      const std::size_t end = text.find('\n');
      const std::string_view line = trimmed(text.substr(0, end));
      text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
      if (line.empty())
        continue;
      const std::size_t comma = line.find(',');
      if (comma == std::string_view::npos || line.find(',', comma + 1) != std::string_view::npos)
        fail("is not two values with a comma between",
             head ? "write the number of the layer and its grams, e.g. 3,12.5"
                  : "begin with the line layer,grams");
      const std::string_view first = trimmed(line.substr(0, comma)), second = trimmed(line.substr(comma + 1));
      if (!head) {
        if (first != "layer" || second != "grams")
          fail("is not the head of such a table", "begin with the line layer,grams");
        head = true;
        continue;
      }
      const double index = number(first, layer_numbers, "the layer");
      if (index != std::floor(index))
        fail(fmt::format("the layer is {}", index), "write the number of the layer, from 1");
      if (!weights.emplace(static_cast<int>(index), Grams(number(second, layer_grams, "the weight"))).second)
        fail(fmt::format("layer {} is there twice", index), "add its grams up and write it once");
    }
    return weights;
  }

 private:
  [[noreturn]] void fail(const std::string& wrong, const std::string& remedy) const {
    throw Problem(ProblemKind::input, fmt::format("{}:{}", file_, line_), wrong, remedy);
  }

  // Whatever the locale says of decimal points.
  [[nodiscard]] double number(std::string_view text, Range range, std::string_view what) const {
    double value = 0;
    const auto [stopped, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc() || stopped != text.data() + text.size())
      fail(fmt::format("{} \"{}\" is no number", what, text), fmt::format("it must be {}", text_of(range)));
    if (!std::isfinite(value) || !range.holds(value))
      fail(fmt::format("{} is {}", what, value), fmt::format("it must be {}", text_of(range)));
    return value;
  }

  std::string file_;
  std::size_t line_ = 0;
};

}  // namespace

RealWeights parse_real_weights(const std::string& text, const std::string& file) {
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  RealWeights weights =
      first != std::string::npos && text[first] == '{' ? from_json(text, file) : CsvReader(file).read(text);
  if (weights.empty())
    throw Problem(ProblemKind::input, file, "holds no weight of any layer",
                  "write a head layer,grams and a line for each layer, e.g. 3,12.5");
  return weights;
}

}  // namespace powderplan
