#include "report/panel_files.h"

#include <fmt/format.h>

#include "layers/panel_lines.h"
#include "layers/panel_stencil.h"
#include "report/grams_csv.h"
#include "report/layer_names.h"
#include "report/panel_words.h"
#include "report/stage.h"
#include "report/stencil_files.h"

namespace powderplan {
namespace {

BoxMm box_of_panel(const PlanRecord& record, std::size_t panel) {
  return in_mm(record.panels.panels[panel].box, record.separation.grid.pitch);
}

struct Grammage {
  Grams lands, sift, overspill;
  void add(const LayerWeights& weights) {
    lands += weights.lands;
    sift += weights.sift;
    overspill += weights.overspill;
  }
};

std::string number(double value) {
  return fmt::format("{:.6g}", value);
}

}  // namespace

Stencil stencil_for_panel(const PlanRecord& record, std::size_t panel, std::size_t layer) {
  const Stencil& whole = record.layers[layer].stencil->stencil;
  StencilRules rules;
  rules.smallest = record.smallest;
  rules.border = whole.border;
  rules.pin = whole.pin;
  return panel_stencil(whole, box_of_panel(record, panel), rules);
}

bool opens_in(const PlanRecord& record, std::size_t panel, std::size_t layer) {
  return record.layers[layer].stencil && !stencil_for_panel(record, panel, layer).openings.empty();
}

std::string panel_stencil_file(const PlanRecord& record, std::size_t panel, std::size_t layer) {
  return panel_folder(panel) + "/stencils/" + layer_file_stem(record, layer);
}

LinePlan lines_for_panel(const PlanRecord& record, std::size_t panel, const LinePlan& lines) {
  return lines_in(lines, box_of_panel(record, panel));
}

std::string in_panel_folder(std::size_t panel, const std::string& file) {
  return panel_folder(panel) + "/" + file;
}

std::vector<StencilTemplate> panel_templates(const PlanRecord& record, std::size_t panel) {
  const Millimetres pitch = record.separation.grid.pitch;
  PanelOnPage place{.number = panel + 1, .all = {}, .width = record.width, .height = record.height};
  for (const Panel& one : record.panels.panels)
    place.all.push_back(in_mm(one.box, pitch));
  std::vector<StencilTemplate> templates;
  for (std::size_t i = 0; i < record.layers.size(); ++i) {
    if (!record.layers[i].stencil)
      continue;
    Stencil stencil = stencil_for_panel(record, panel, i);
    if (stencil.openings.empty())
      continue;
    const CutSheet sheet{i, std::nullopt, panel_stencil_file(record, panel, i), &stencil};
    StencilTemplate page = printed_template(record, sheet);
    page.name = fmt::format("Panel {}: {}", panel + 1, page.name);
    page.panel = place;
    templates.push_back(std::move(page));
  }
  return templates;
}

std::string panel_grams_csv(const PlanRecord& record) {
  std::string csv =
      "kind,panel,left_mm,top_mm,width_mm,height_mm,firing,layer,powder,name,lands_g,sift_g,overspill_g\r\n";
  const auto row = [&](std::string_view kind, std::size_t panel, const std::string& firing,
                       const std::string& layer, std::size_t powder, const Grammage& grams) {
    const BoxMm box = box_of_panel(record, panel);
    csv += fmt::format(
        "{},{},{},{},{},{},{},{},{},{},{},{},{}\r\n", kind, panel_name(panel), number(box.left),
        number(box.top), number(box.right - box.left), number(box.bottom - box.top), firing, layer,
        csv_text(record.palette.powders[powder].id), csv_text(record.palette.powders[powder].name),
        number(grams.lands.value()), number(grams.sift.value()), number(grams.overspill.value()));
  };
  const std::vector<std::vector<LayerWeights>>& panels = record.weights.panels;
  for (std::size_t p = 0; p < panels.size(); ++p) {
    for (std::size_t i = 0; i < record.layers.size(); ++i) {
      Grammage grams;
      grams.add(panels[p][i]);
      row("layer", p, std::to_string(record.firing_plan.places[i].firing + 1), std::to_string(i + 1),
          record.layers[i].powder, grams);
    }
  }
  for (std::size_t p = 0; p < panels.size(); ++p) {
    for (const PowderTotal& total : record.weights.totals) {
      Grammage grams;
      for (std::size_t i = layers_done(record); i < record.layers.size(); ++i)
        if (record.layers[i].powder == total.powder)
          grams.add(panels[p][i]);
      row("powder", p, "", "", total.powder, grams);
    }
  }
  return csv;
}

}  // namespace powderplan
