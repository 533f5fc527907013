#include "report/bench_page_data.h"

#include <nlohmann/json.hpp>

#include "optics/grain.h"
#include "report/bench_numbers.h"
#include "report/stage.h"
#include "utf8.h"

namespace powderplan {
namespace {

using Json = nlohmann::ordered_json;

std::string dumped(const Json& json) {
  return fit_for_script(json.dump(-1, ' ', false, Json::error_handler_t::replace));
}

Json layers(const PlanRecord& record, const PointMaps& maps) {
  Json list = Json::array();
  for (std::size_t i = 0; i < record.layers.size(); ++i) {
    const Layer& layer = record.layers[i];
    const LayerWeights& weights = record.weights.layers[i];
    list.push_back({{"index", i + 1},
                    {"firing", record.firing_plan.places[i].firing + 1},
                    {"powder", plain_text(powder_of(record, layer).name)},
                    {"load_g_cm2", layer.load.value()},
                    {"used", shown(weights.sift - weights.overspill * record.weigh_rules.comes_back)},
                    {"sum", maps.sums[i]}});
  }
  return list;
}

}  // namespace

std::string fit_for_script(const std::string& json) {
  std::string safe;
  safe.reserve(json.size());
  for (std::size_t i = 0; i < json.size(); ++i) {
    const char c = json[i];
    if (c == '<')
      safe += "\\u003c";
    else if (c == '>')
      safe += "\\u003e";
    else if (c == '&')
      safe += "\\u0026";
    else if (json.compare(i, 3, "\xe2\x80\xa8") == 0 || json.compare(i, 3, "\xe2\x80\xa9") == 0) {
      safe += json[i + 2] == '\xa8' ? "\\u2028" : "\\u2029";
      i += 2;
    } else
      safe += c;
  }
  return safe;
}

std::string bench_facts(const PlanRecord& record, const PointMaps& maps, const std::string& plan_sha256) {
  const Grid& grid = record.separation.grid;
  Json firings = Json::array();
  for (std::size_t k = 0; k < record.firing_plan.firings.size(); ++k)
    firings.push_back({{"index", k + 1}});
  return dumped({{"plan_sha256", plan_sha256},
                 {"title", plain_text(record.title)},
                 {"view", record.view == View::wall ? "wall" : "window"},
                 {"width_mm", grid.width * grid.pitch.value()},
                 {"height_mm", grid.height * grid.pitch.value()},
                 {"map", {{"width", maps.grid.width}, {"height", maps.grid.height}}},
                 {"loose_mm_per_g_cm2", unfired_height(Load(1), record.palette.glass.density).value()},
                 {"firings_done", record.firings_done},
                 {"layers", layers(record, maps)},
                 {"firings", std::move(firings)}});
}

std::string bench_pictures(const PlanRecord& record, const PagePictures& pictures, const PointMaps& maps) {
  Json fired = Json::array();
  for (const PagePictures::Fired& firing : pictures.fired) {
    // The plan's own view stands on the page of the firing.
    if (record.view == View::wall)
      fired.push_back({{"window", firing.window}});
    else
      fired.push_back({{"wall", firing.wall}});
  }
  return dumped({{"fired", std::move(fired)},
                 {"amounts", maps.amounts},
                 {"colours", {{"wall", maps.wall}, {"window", maps.window}, {"target", maps.target}}}});
}

}  // namespace powderplan
