#include "report/template_pages.h"

namespace powderplan {

TemplatePages template_pages(const std::vector<StencilTemplate>& templates, const Paper& paper) {
  const Millimetres width = paper.width - Millimetres(2 * page_margin);
  const Millimetres below_words = paper.height - Millimetres(first_page_top + page_foot);
  const Millimetres height = paper.height - Millimetres(tile_top + page_foot);
  TemplatePages all;
  for (std::size_t i = 0; i < templates.size(); ++i) {
    const Stencil& stencil = templates[i].stencil;
    const Millimetres both_borders = stencil.border * 2;
    TemplatePage first{.stencil = i, .first = true};
    if (stencil.width + both_borders <= width && stencil.height + both_borders <= below_words) {
      all.tilings.push_back(tiling_of(stencil, width, below_words, tile_overlap));
      first.tile = all.tilings.back().tiles.front();
      first.at = {(paper.width.value() - first.tile->box.right) / 2, first_page_top};
      all.pages.push_back(first);
      continue;
    }
    all.tilings.push_back(tiling_of(stencil, width, height, tile_overlap));
    all.pages.push_back(first);
    for (const PageTile& tile : all.tilings.back().tiles) {
      if (tile.has_cut)
        all.pages.push_back({i, false, tile, {page_margin, tile_top}});
    }
  }
  return all;
}

}  // namespace powderplan
