#include "report/stencil_files.h"

#include <fmt/format.h>

#include "report/layer_names.h"
#include "report/stage.h"

namespace powderplan {
namespace {

std::string printed_name(const PlanRecord& record, const CutSheet& sheet) {
  const Layer& layer = record.layers[sheet.layer];
  std::string name = fmt::format("{} {}", sheet.layer + 1, powder_of(record, layer).name);
  if (sheet.repeat)
    name += fmt::format(", small template {}", *sheet.repeat + 1);
  else if (layer.stencil->part != 0)
    name += fmt::format(", part {} of 2", layer.stencil->part);
  return name;
}

std::string side_up(const PlanRecord& record, const CutSheet& sheet) {
  if (sheet.repeat)
    return fmt::format("Printed side up, two holes at the top. Lay it {} times.",
                       record.layers[sheet.layer].stencil->repeats[*sheet.repeat].repeat.places.size());
  if (sheet.stencil->pins.empty())
    return "Printed side up, black corner at the top left.";
  return "Printed side up. The pins fit only one way.";
}

}  // namespace

std::vector<CutSheet> cut_sheets(const PlanRecord& record) {
  std::vector<CutSheet> whole, small;
  for (std::size_t i = 0; i < record.layers.size(); ++i) {
    const auto& cut = record.layers[i].stencil;
    if (!cut)
      continue;
    const std::string stem = "stencils/" + layer_file_stem(record, i);
    whole.push_back({i, std::nullopt, stem, &cut->stencil});
    for (std::size_t r = 0; r < cut->repeats.size(); ++r)
      small.push_back({i, r, fmt::format("{}-repeat-{}", stem, r + 1), &cut->repeats[r].small});
  }
  whole.insert(whole.end(), small.begin(), small.end());
  return whole;
}

StencilTemplate printed_template(const PlanRecord& record, const CutSheet& sheet) {
  return {printed_name(record, sheet), side_up(record, sheet), *sheet.stencil};
}

std::vector<StencilTemplate> printed_templates(const PlanRecord& record) {
  std::vector<StencilTemplate> templates;
  for (const CutSheet& sheet : cut_sheets(record))
    templates.push_back(printed_template(record, sheet));
  return templates;
}

std::vector<std::size_t> first_pages(const PlanRecord& record) {
  const TemplatePages layout = template_pages(printed_templates(record), record.paper);
  std::vector<std::size_t> pages;
  for (std::size_t page = 0; page < layout.pages.size(); ++page) {
    if (layout.pages[page].first)
      pages.push_back(page + 1);
  }
  return pages;
}

}  // namespace powderplan
