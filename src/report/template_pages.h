// Which page of the printed templates shows what.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "layers/stencil.h"
#include "report/page_tiles.h"
#include "report/paper.h"

namespace powderplan {

// Which part of a piece a stencil is for.
struct PanelOnPage {
  std::size_t number = 1;
  std::vector<BoxMm> all;     // panels of the piece, by their numbers
  Millimetres width, height;  // of the piece
};

struct StencilTemplate {
  std::string name;     // of the layer, as on the worksheet
  std::string side_up;  // one line: how the stencil lies on the glass
  Stencil stencil;
  std::optional<PanelOnPage> panel{};
};

struct TemplatePage {
  std::size_t stencil = 0;
  bool first = false;              // of its stencil: with the check square, what to do, and the map
  std::optional<PageTile> tile{};  // the part of the sheet at true size
  PointMm at{};                    // its top left corner on the page, mm
};

struct TemplatePages {
  std::vector<Tiling> tilings;  // of each stencil
  std::vector<TemplatePage> pages;
};

// All in mm. The margin is what most printers leave white and some more (common practice, no source).
inline constexpr double page_margin = 10;
inline constexpr double tile_top = 27, first_page_top = 110, page_foot = 20;
inline constexpr Millimetres tile_overlap{10};
inline constexpr Millimetres check_square{50};

// A first page for every stencil, which shows it whole where there is room for the sheet below the words;
// else its tiles follow, row by row, those without a cut line left out.
TemplatePages template_pages(const std::vector<StencilTemplate>& templates, const Paper& paper);

}  // namespace powderplan
