#include "report/fade_json.h"

#include "report/fade_words.h"

namespace powderplan {
namespace {

using Json = nlohmann::ordered_json;

Json direction(const FadeBench& bench, const PlanRecord& record) {
  const FadeWay& way = bench.way;
  Json json{{"course", name_of(way.course)},
            {"dominance", way.dominance},
            {"towards", nullptr},
            {"words", course_words(bench, record.width, record.height)}};
  if (way.course == FadeCourse::one_way)
    json["towards"] = {way.towards.x, way.towards.y};
  return json;
}

Json edges(const FadeBench& bench) {
  if (!bench.edges)
    return nullptr;
  Json json{{"crisp_share", bench.edges->crisp_share}, {"words", edge_words(bench)}};
  for (const EdgeSide side : all_edge_sides) {
    const EdgeOfFade& edge = bench.edges->at(side);
    json[std::string(name_of(side))] = {{"length_mm", edge.length_mm},
                                        {"crisp_mm", edge.crisp_mm},
                                        {"amount", edge.amount},
                                        {"rise_per_mm", edge.rise_per_mm}};
  }
  return json;
}

}  // namespace

Json fade_json(const PlanRecord& record, std::size_t layer) {
  const std::optional<FadeBench> bench = bench_of_fade(record, layer);
  if (!bench)
    return nullptr;
  Json levels = Json::array(), bands = Json::array(), starts = Json::array();
  for (const FadeLevel& level : bench->levels)
    levels.push_back({{"share", level.share}, {"load_g_cm2", level.load.value()}});
  for (const FadeBand& band : bench->bands)
    bands.push_back({{"from", band.from},
                     {"to", band.to},
                     {"area_cm2", band.area_cm2},
                     {"grams", band.lands.value()},
                     {"mean_g_cm2", band.mean.value()}});
  for (const PointMm& start : bench->way.starts)
    starts.push_back({start.x, start.y});
  return {{"free", bench->free},
          {"hold", bench->hold.high ? "high" : "low"},
          {"edge_mm", bench->hold.edge.value()},
          {"height_mm", bench->hold.height.value()},
          {"height_where_thin_mm", bench->hold.height_where_thin.value()},
          {"full_g_cm2", bench->full.value()},
          {"levels", std::move(levels)},
          {"bands", std::move(bands)},
          {"starts_mm", std::move(starts)},
          {"direction", direction(*bench, record)},
          {"edges", edges(*bench)}};
}

}  // namespace powderplan
