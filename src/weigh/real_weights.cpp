#include "weigh/real_weights.h"

#include <fmt/format.h>

#include "csv_table.h"
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

RealWeights from_csv(const std::string& text, const std::string& file) {
  const CsvTable table(text, file);
  const std::size_t layer = table.column("layer"), grams = table.column("grams");
  RealWeights weights;
  for (const CsvTable::Row& row : table.rows()) {
    const int index = table.whole(row, layer, layer_numbers);
    if (!weights.emplace(index, Grams(table.number(row, grams, layer_grams))).second)
      table.fail(row.line, fmt::format("layer {} is there twice", index),
                 "add its grams up and write it once");
  }
  return weights;
}

}  // namespace

RealWeights parse_real_weights(const std::string& text, const std::string& file) {
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  RealWeights weights =
      first != std::string::npos && text[first] == '{' ? from_json(text, file) : from_csv(text, file);
  if (weights.empty())
    throw Problem(ProblemKind::input, file, "holds no weight of any layer",
                  "write a head layer,grams and a line for each layer, e.g. 3,12.5");
  return weights;
}

}  // namespace powderplan
