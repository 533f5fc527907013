#include "report/comparison_files.h"

#include <fmt/format.h>

#include <array>
#include <nlohmann/json.hpp>

#include "raster/png.h"
#include "report/comparison_sheet.h"
#include "report/difference_map.h"
#include "report/own_folder.h"
#include "report/stage.h"
#include "report/whole_folder.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

constexpr int schema = 1;
constexpr std::array<std::string_view, 4> entries{"compare.json", "comparison.png", "seen.png",
                                                  "difference.png"};
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

void check_comparison_folder(const fs::path& folder, bool replace) {
  check_own_folder(folder, replace, {"comparison", "compare.json", entries});
}

std::string write_comparison(const PlanRecord& record, const PieceComparison& comparison,
                             const std::string& photo, const std::vector<std::string>& notes,
                             const fs::path& folder, bool replace, const std::function<void()>& may_go_on) {
  check_comparison_folder(folder, replace);
  WholeFolder whole(folder);
  const auto put = [&](std::string_view name, const std::vector<std::uint8_t>& bytes) {
    if (may_go_on)
      may_go_on();
    write_bytes(whole.path() / name, bytes);
  };
  const std::string json = comparison_json(record, comparison, photo, notes);
  put("compare.json", {json.begin(), json.end()});
  put("comparison.png", encode_png(comparison_sheet(record, comparison), comparison_sheet_pitch));
  put("seen.png", encode_png(comparison.seen, comparison.grid.pitch));
  put("difference.png",
      encode_png(with_difference_scale(difference_picture(comparison), "Difference from the plan, CIEDE2000",
                                       comparison.mean_de00, comparison.p95_de00),
                 comparison.grid.pitch));
  if (may_go_on)
    may_go_on();
  check_comparison_folder(folder, replace);
  if (const auto left = whole.commit(replace))
    return fmt::format("the old comparison could not be removed and lies in {} now", left->string());
  return "";
}

}  // namespace powderplan
