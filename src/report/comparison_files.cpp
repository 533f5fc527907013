#include "report/comparison_files.h"

#include <fmt/format.h>

#include <array>
#include <nlohmann/json.hpp>

#include "raster/png.h"
#include "report/comparison_sheet.h"
#include "report/difference_map.h"
#include "report/own_folder.h"
#include "report/stage.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

constexpr int schema = 1;
constexpr std::array<std::string_view, 4> entries{"compare.json", "comparison.png", "seen.png",
                                                  "difference.png"};
constexpr FolderKind kind{"comparison", "compare.json", entries};

Json powders_json(const PlanRecord& record, const PieceComparison& comparison) {
  Json list = Json::array();
  for (const PowderFinding& finding : comparison.powders) {
    Json json{{"powder", record.palette.powders[finding.powder].id},
              {"factor", finding.factor},
              {"off_by", finding.off_by},
              {"weighed", nullptr},
              {"words", in_words(finding)}};
    if (finding.weighed) {
      json["weighed"] = *finding.weighed;
      json["weighed_words"] = weighed_in_words(finding);
    }
    list.push_back(std::move(json));
  }
  return list;
}

Json layers_json(const PlanRecord& record, const PieceComparison& comparison) {
  Json list = Json::array();
  for (const LayerFinding& finding : comparison.layers) {
    Json regions = Json::array();
    for (const RegionFinding& region : finding.regions)
      regions.push_back({{"id", region.id},
                         {"area_cm2", region.area_cm2},
                         {"mean_de00", region.mean_de00},
                         {"lighter", region.lighter}});
    list.push_back({{"index", finding.layer + 1},
                    {"powder", powder_of(record, record.layers[finding.layer]).id},
                    {"strength", comparison.strength[finding.layer]},
                    {"mean_de00", finding.mean_de00},
                    {"lighter", finding.lighter},
                    {"regions", std::move(regions)}});
  }
  return list;
}

}  // namespace

std::string comparison_json(const PlanRecord& record, const PieceComparison& comparison,
                            const std::string& photo, const std::vector<std::string>& notes) {
  const Json json{{"schema", schema},
                  {"photo", photo},
                  {"title", record.title},
                  {"after_firing", comparison.firings_done},
                  {"pitch_mm", comparison.grid.pitch.value()},
                  {"mean_de00", comparison.mean_de00},
                  {"p95_de00", comparison.p95_de00},
                  {"explained_mean_de00", comparison.explained_de00},
                  {"powders", powders_json(record, comparison)},
                  {"layers", layers_json(record, comparison)},
                  {"notes", notes}};
  return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

OwnPlace check_comparison_folder(const fs::path& folder, bool replace) {
  return check_own_folder(folder, replace, kind);
}

std::string write_comparison(const PlanRecord& record, const PieceComparison& comparison,
                             const std::string& photo, const std::vector<std::string>& notes,
                             const OwnPlace& place, const std::function<void()>& may_go_on) {
  const auto difference = [&] {
    return with_difference_scale(rows_of(difference_picture(comparison)),
                                 "Difference from the plan, CIEDE2000", comparison.mean_de00,
                                 comparison.p95_de00);
  };
  return write_own_folder(
      place, kind,
      {{"compare.json", [&] { return bytes_of(comparison_json(record, comparison, photo, notes)); }},
       {"comparison.png",
        [&] { return encode_png(comparison_sheet(record, comparison), comparison_sheet_pitch); }},
       {"seen.png", [&] { return encode_png(comparison.seen, comparison.grid.pitch); }},
       {"difference.png", [&] { return encode_png(difference(), comparison.grid.pitch); }}},
      may_go_on);
}

}  // namespace powderplan
