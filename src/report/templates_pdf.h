// The stencils of a plan at true size on paper, to be taped to a sheet and cut through.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "report/template_pages.h"

namespace powderplan {

// A PDF with the pages that template_pages lists; empty when there is no stencil. Openings are grey and their
// edge black; the black corner is the top left of the sheet. Every first page bears a square of check_square,
// every other page a scale of that length, and each tile says where on the sheet it belongs.
// The same stencils and texts give the same bytes.
std::vector<std::uint8_t> templates_pdf(const std::vector<StencilTemplate>& templates, const Paper& paper,
                                        const std::string& piece_title);

}  // namespace powderplan
