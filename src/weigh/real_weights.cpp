#include "weigh/real_weights.h"

#include <fmt/format.h>

#include <set>
#include <vector>

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

[[noreturn]] void refuse_empty(const std::string& file) {
  throw Problem(ProblemKind::input, file, "holds no weight of any layer",
                "write a head layer,grams and a line for each layer, e.g. 3,12.5");
}

[[noreturn]] void refuse_twice(const JsonPart& layer, int index) {
  layer.fail(fmt::format("layer {} is there twice", index), "add its grams up and write it once");
}

RealWeights from_json(const std::string& text, const std::string& file, const std::string& plan_sha256) {
  const nlohmann::json document =
      parse_json(text, file, schema, {"real weights", "save the notes on the bench page again"});
  const JsonPart whole(document, file, "");
  const std::vector<JsonPart> layers = whole.objects("layers", "entry");
  if (whole.has("plan_sha256") && whole.text("plan_sha256") != plan_sha256)
    whole.fail("its weights were noted for another plan, or for this one before it was made anew",
               "name the plan whose worksheet they were noted on; if you are sure, take \"plan_sha256\" out");
  RealWeights weights;
  std::set<int> seen;
  for (const JsonPart& layer : layers) {
    const int index = layer.whole("index", layer_numbers);
    if (!seen.insert(index).second)
      refuse_twice(layer, index);
    const bool only_done = layer.has("done") && !layer.has("grams");
    if (only_done)
      (void)layer.truth("done");
    else
      weights.emplace(index, Grams(layer.number("grams", layer_grams)));
  }
  if (layers.empty())
    refuse_empty(file);
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
  if (weights.empty())
    refuse_empty(file);
  return weights;
}

}  // namespace

RealWeights parse_real_weights(const std::string& text, const std::string& file,
                               const std::string& plan_sha256) {
  const std::size_t first = text.find_first_not_of(" \t\r\n");
  return first != std::string::npos && text[first] == '{' ? from_json(text, file, plan_sha256)
                                                          : from_csv(text, file);
}

}  // namespace powderplan
