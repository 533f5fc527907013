// The cut files of a plan and what they are called.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "report/plan_record.h"
#include "report/template_pages.h"

namespace powderplan {

// One sheet to cut: the template of a layer, or a small one for its repeats.
struct CutSheet {
  std::size_t layer = 0;
  std::optional<std::size_t> repeat{};  // place in the layer's repeats
  std::string file;                     // below the plan folder, without its end: "stencils/01-kelp"
  const Stencil* stencil = nullptr;     // in the record
};

// In bench order, small templates after all others.
std::vector<CutSheet> cut_sheets(const PlanRecord& record);

// One of them as a page of printed templates.
StencilTemplate printed_template(const PlanRecord& record, const CutSheet& sheet);

// The same as pages of templates.pdf.
std::vector<StencilTemplate> printed_templates(const PlanRecord& record);

// The first page of each in templates.pdf, counted from 1; in the order of cut_sheets.
std::vector<std::size_t> first_pages(const PlanRecord& record);

}  // namespace powderplan
