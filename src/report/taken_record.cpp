#include "report/taken_record.h"

#include <algorithm>
#include <nlohmann/json.hpp>
#include <system_error>

#include "json_reader.h"

namespace powderplan {
namespace {

using Json = nlohmann::ordered_json;
constexpr Range counts{1, 10000};
constexpr Range weights{0, 1e9, "g"};

}  // namespace

std::filesystem::path taken_record_of(const std::filesystem::path& palette) {
  std::error_code error;
  const std::filesystem::path real = std::filesystem::canonical(palette, error);
  const std::filesystem::path& file = error ? palette : real;
  return file.parent_path() / (file.stem().string() + ".taken.json");
}

std::string taken_json(const TakenRecord& record) {
  Json plans = Json::array();
  for (const TakenPlan& plan : record) {
    Json layers = Json::array();
    for (const TakenLayer& layer : plan.layers)
      layers.push_back({{"index", layer.layer}, {"powder", layer.powder}, {"grams", layer.grams.value()}});
    plans.push_back(
        {{"plan_sha256", plan.plan_sha256}, {"title", plan.title}, {"layers", std::move(layers)}});
  }
  Json json;
  json["schema"] = taken_schema;
  json["taken"] = std::move(plans);
  return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

TakenRecord parse_taken(const std::string& text, const std::string& file) {
  const nlohmann::json document =
      parse_json(text, file, taken_schema,
                 {"what was taken off the jars", "move it away: then nothing counts as taken before"});
  TakenRecord record;
  for (const JsonPart& part : JsonPart(document, file, "").objects("taken", "plan")) {
    TakenPlan plan{.plan_sha256 = part.text("plan_sha256"), .title = part.text("title"), .layers = {}};
    for (const JsonPart& layer : part.objects("layers", "layer"))
      plan.layers.push_back({.layer = layer.whole("index", counts),
                             .powder = layer.text("powder"),
                             .grams = Grams(layer.number("grams", weights))});
    record.push_back(std::move(plan));
  }
  return record;
}

std::size_t times_taken(const TakenRecord& record, const std::string& plan_sha256, int layer) {
  std::size_t times = 0;
  for (const TakenPlan& plan : record)
    if (plan.plan_sha256 == plan_sha256)
      times += static_cast<std::size_t>(std::count_if(plan.layers.begin(), plan.layers.end(),
                                                      [&](const TakenLayer& l) { return l.layer == layer; }));
  return times;
}

}  // namespace powderplan
