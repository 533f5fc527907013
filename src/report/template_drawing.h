// The stencil itself on a page of the templates: at true size in tiles, and small as a map of its tiles.
#pragma once

#include <map>
#include <utility>

#include "report/page_tiles.h"
#include "report/pdf_document.h"
#include "report/template_pages.h"

namespace powderplan {

// A tile at true size, its top left corner at `at`: openings, pin holes, the edge of the sheet, and where it
// has neighbours, dashed seams with crosses at the same places of the sheet on both pages.
void draw_tile(PdfDocument& pdf, const Stencil& stencil, const Tiling& tiling, const PageTile& tile,
               PointMm at);

// The whole sheet as large as fits into the box, with the names of its tiles and the page each is on
// (column and row -> page number); tiles that are not in `page_of` are marked as left out.
void draw_map(PdfDocument& pdf, const Stencil& stencil, const Tiling& tiling,
              const std::map<std::pair<int, int>, std::size_t>& page_of, const BoxMm& box);

// All panels of the piece with their numbers, this one black; at the right of the box.
void draw_panels(PdfDocument& pdf, const PanelOnPage& panel, const BoxMm& box);

}  // namespace powderplan
