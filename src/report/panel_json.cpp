#include "report/panel_json.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "report/line_files.h"
#include "report/panel_files.h"
#include "report/panel_words.h"

namespace powderplan {
namespace {

using Json = nlohmann::ordered_json;

constexpr Range places{1, most_panels};
constexpr Range lengths{0, 1e5, "mm"};
constexpr Range counts{0, 1e9};

// The panel's drawing of such lines; null where none lie in it.
Json drawing_of(const PlanRecord& record, std::size_t panel, const LinePlan& lines, const std::string& file) {
  if (lines_for_panel(record, panel, lines).paths.empty())
    return nullptr;
  return in_panel_folder(panel, file);
}

Json layers_of(const PlanRecord& record, std::size_t panel) {
  Json list = Json::array();
  for (std::size_t i = 0; i < record.layers.size(); ++i) {
    const LayerWeights& weights = record.weights.panels[panel][i];
    Json json{{"index", i + 1},
              {"lands_g", weights.lands.value()},
              {"sift_g", weights.sift.value()},
              {"overspill_g", weights.overspill.value()},
              {"stencil", nullptr}};
    if (opens_in(record, panel, i))
      json["stencil"] = panel_stencil_file(record, panel, i) + ".svg";
    // Only where a hand draws or scratches.
    const Layer& layer = record.layers[i];
    if (layer.lines)
      json["lines"] = drawing_of(record, panel, *layer.lines, lines_file(record, i));
    if (layer.scratched)
      json["scratched"] = drawing_of(record, panel, *layer.scratched, scratched_file(record, i));
    list.push_back(std::move(json));
  }
  return list;
}

}  // namespace

Json panels_json(const PlanRecord& record) {
  Json list = Json::array();
  for (std::size_t p = 0; p < record.panels.panels.size(); ++p) {
    const Panel& panel = record.panels.panels[p];
    const BoxMm box = in_mm(panel.box, record.separation.grid.pitch);
    list.push_back({{"name", panel_name(p)},
                    {"row", panel.row + 1},
                    {"column", panel.column + 1},
                    {"box_mm", {box.left, box.top, box.right, box.bottom}},
                    {"folder", panel_folder(p)},
                    {"layers", layers_of(record, p)}});
  }
  return list;
}

Json panel_cuts_json(const PlanRecord& record) {
  Json list = Json::array();
  for (const PanelCut& cut : record.panels.cuts)
    list.push_back(
        {{"from_mm", {cut.from.x, cut.from.y}}, {"to_mm", {cut.to.x, cut.to.y}}, {"crosses", cut.crossed}});
  return list;
}

PanelLayout read_panels(const JsonPart& root, const Grid& grid) {
  PanelLayout layout;
  if (!root.has("panels"))
    return layout;
  for (const JsonPart& part : root.objects("panels", "panel")) {
    const std::vector<double> box = part.numbers("box_mm", 4, lengths);
    const auto point = [&](double mm) { return static_cast<int>(std::lround(mm / grid.pitch.value())); };
    const Panel panel{static_cast<std::size_t>(part.whole("row", places)) - 1,
                      static_cast<std::size_t>(part.whole("column", places)) - 1,
                      {point(box[0]), point(box[1]), point(box[2]), point(box[3])}};
    if (panel.box.left >= panel.box.right || panel.box.top >= panel.box.bottom ||
        panel.box.right > grid.width || panel.box.bottom > grid.height)
      part.fail("does not lie in the piece", "make the plan again");
    layout.panels.push_back(panel);
  }
  for (const JsonPart& part : root.objects("panel_cuts", "cut")) {
    const std::vector<double> from = part.numbers("from_mm", 2, lengths),
                              to = part.numbers("to_mm", 2, lengths);
    layout.cuts.push_back(
        {{from[0], from[1]}, {to[0], to[1]}, static_cast<std::size_t>(part.whole("crosses", counts))});
    layout.crossed += layout.cuts.back().crossed;
  }
  return layout;
}

}  // namespace powderplan
