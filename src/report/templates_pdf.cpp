#include "report/templates_pdf.h"

#include <fmt/format.h>

#include <cmath>
#include <map>

#include "report/drawing_points.h"
#include "report/template_drawing.h"

namespace powderplan {
namespace {

constexpr double square_top = 40;
constexpr double panel_map_width = 44;

// To a tenth of a millimetre.
std::string in_mm(double length) {
  return decimal_mm(std::llround(length * 10) * 100);
}

// Page numbers count from 1.
class Templates {
 public:
  Templates(const std::vector<StencilTemplate>& templates, const Paper& paper, const std::string& title)
      : templates_(templates),
        paper_(paper),
        title_(title),
        layout_(template_pages(templates, paper)),
        pdf_("Templates at true size: " + title) {}

  std::vector<std::uint8_t> draw() {
    for (std::size_t i = 0; i < layout_.pages.size(); ++i) {
      const TemplatePage& page = layout_.pages[i];
      pdf_.page(paper_.width, paper_.height);
      if (page.first)
        first_page(page);
      else
        tile_page(page);
      if (page.tile)
        draw_tile(pdf_, templates_[page.stencil].stencil, layout_.tilings[page.stencil], *page.tile, page.at);
      foot(i, page);
    }
    return pdf_.bytes();
  }

 private:
  [[nodiscard]] double width() const { return paper_.width.value(); }
  [[nodiscard]] double height() const { return paper_.height.value(); }

  [[nodiscard]] std::map<std::pair<int, int>, std::size_t> page_of_tile(std::size_t stencil) const {
    std::map<std::pair<int, int>, std::size_t> page_of;
    for (std::size_t i = 0; i < layout_.pages.size(); ++i) {
      const TemplatePage& page = layout_.pages[i];
      if (page.stencil == stencil && page.tile)
        page_of[{page.tile->column, page.tile->row}] = i + 1;
    }
    return page_of;
  }

  void square() {
    const double side = check_square.value(), left = page_margin, top = square_top;
    pdf_.shape({{left, top}, {left + side, top}, {left + side, top + side}, {left, top + side}},
               {.width = 0.3});
    const double middle = left + side / 2;
    pdf_.text({middle, top + side / 2 + 1}, in_mm(side) + " mm",
              {.size = 7, .weight = Weight::bold, .align = Align::centre});
    pdf_.text({middle, top + side / 2 + 8}, "measure both ways", {.size = 3.5, .align = Align::centre});
  }

  void first_page(const TemplatePage& page) {
    const StencilTemplate& one = templates_[page.stencil];
    const Stencil& stencil = one.stencil;
    const double inner = width() - 2 * page_margin - (one.panel ? panel_map_width + 4 : 0);
    pdf_.bookmark(one.name);
    if (one.panel)
      draw_panels(
          pdf_, *one.panel,
          {width() - page_margin - panel_map_width, page_margin, width() - page_margin, square_top - 4});
    pdf_.text_within({page_margin, 16}, inner, title_, {.size = 4});
    pdf_.text_within({page_margin, 27}, inner, one.name, {.size = 9, .weight = Weight::bold});
    pdf_.text_within({page_margin, 35}, inner, one.side_up, {.size = 5, .weight = Weight::bold});
    square();

    const double left = page_margin + check_square.value() + 6, wide = width() - page_margin - left;
    const PageText words{.size = 3.4}, bold{.size = 3.4, .weight = Weight::bold};
    double y = square_top + 3;
    y = pdf_.paragraph(
        {left, y}, wide,
        "Print at 100 %, no scaling, no fitting to the page. Then measure the square: unless it "
        "is 50 mm both ways, nothing here fits the glass.",
        bold);
    const double border = stencil.border.value();
    y = pdf_.paragraph({left, y + 1.5}, wide,
                       fmt::format("Sheet {} \u00d7 {} mm, of which {} mm are border on every side. {}",
                                   in_mm(stencil.width.value() + 2 * border),
                                   in_mm(stencil.height.value() + 2 * border), in_mm(border),
                                   stencil.openings.size() == 1 ? "Cut out the grey opening."
                                                                : fmt::format("Cut out the {} grey openings.",
                                                                              stencil.openings.size())),
                       words);
    y = pdf_.paragraph({left, y + 1.5}, wide, how_to_use(page), words);
    if (one.panel)
      pdf_.paragraph({page_margin, square_top + check_square.value() + 3.6}, check_square.value() + 2,
                     how_panels_meet(*one.panel), {.size = 2.6});
    pdf_.paragraph(
        {left, y + 1.5}, wide,
        "Blades and cut edges are sharp. Work on a cutting mat, cut away from your body and from the "
        "hand that holds, wear a cut-resistant glove on that hand and eye protection, change dull "
        "blades, cover the blade when it rests. With a laser: extraction on, never leave it alone, "
        "only sheet its manual allows, never vinyl (PVC).",
        bold);
    if (!page.tile)
      draw_map(pdf_, stencil, layout_.tilings[page.stencil], page_of_tile(page.stencil),
               {page_margin, first_page_top, width() - page_margin, height() - page_foot});
  }

  [[nodiscard]] std::string how_to_use(const TemplatePage& page) const {
    const std::string cut =
        " Tape it to the stencil sheet. Cut the openings and pin holes first, the edge last.";
    if (page.tile)
      return "The stencil is on this page. The black corner is the top left." + cut;
    const std::map<std::pair<int, int>, std::size_t> pages = page_of_tile(page.stencil);
    if (pages.size() == 1)
      return fmt::format("The stencil is on page {}. The black corner is the top left.{}",
                         pages.begin()->second, cut);
    return fmt::format(
        "{} pages, named on the map below; the black corner is the top left. Trim each along "
        "its "
        "dashed lines at the left and the top, lay it on its neighbours so that the crosses meet, and tape "
        "them together.{}{}",
        pages.size(),
        pages.size() < layout_.tilings[page.stencil].tiles.size()
            ? " Where the map says \"no cut\" there is no page."
            : "",
        cut);
  }

  [[nodiscard]] static std::string how_panels_meet(const PanelOnPage& panel) {
    const BoxMm& box = panel.all[panel.number - 1];
    return fmt::format(
        "Panel {} of {}, {} \u00d7 {} mm: its top left corner is {} mm across and {} mm down on the piece. "
        "Short "
        "marks meet those of its neighbours; numbers are mm of the piece.",
        panel.number, panel.all.size(), in_mm(box.right - box.left), in_mm(box.bottom - box.top),
        in_mm(box.left), in_mm(box.top));
  }

  void tile_page(const TemplatePage& page) {
    const StencilTemplate& one = templates_[page.stencil];
    const PageTile& tile = *page.tile;
    constexpr double for_name = 30;
    const double inner = width() - 2 * page_margin - for_name;
    pdf_.text_within({page_margin, 15}, inner, one.name, {.size = 6, .weight = Weight::bold});
    pdf_.text_within({page_margin, 20}, inner, one.side_up, {.size = 3.6, .weight = Weight::bold});
    pdf_.text_within({page_margin, 24.5}, inner, "The top of this page is the top of the piece.  " + title_,
                     {.size = 3.2});
    pdf_.text({width() - page_margin, 20}, tile_name(tile.column, tile.row),
              {.size = 12, .weight = Weight::bold, .align = Align::right});
  }

  // A length to measure on pages without the square.
  void scale(double y) {
    const double left = page_margin, right = left + check_square.value();
    pdf_.line({left, y}, {right, y}, {});
    for (const double x : {left, right})
      pdf_.line({x, y - 2}, {x, y + 2}, {});
    pdf_.text({(left + right) / 2, y - 1}, in_mm(check_square.value()) + " mm",
              {.size = 3.2, .align = Align::centre});
  }

  void foot(std::size_t index, const TemplatePage& page) {
    const double base = height() - page_margin;
    pdf_.text({width() - page_margin, base}, fmt::format("{} / {}", index + 1, layout_.pages.size()),
              {.size = 5, .weight = Weight::bold, .align = Align::right});
    const double left = page.first ? page_margin : page_margin + check_square.value() + 6;
    if (!page.first)
      scale(base - 2);
    pdf_.text({left, base - 5.5}, "Print at 100 %, no scaling, and measure. Blades and cut edges are sharp.",
              {.size = 3.2});
    if (page.tile)
      pdf_.text({left, base}, where_on_sheet(page), {.size = 2.6, .grey = 0.3});
  }

  [[nodiscard]] static std::string where_on_sheet(const TemplatePage& page) {
    const BoxMm& box = page.tile->box;
    return fmt::format("Sheet {} to {} mm across, {} to {} mm down, here at {}, {} mm.", in_mm(box.left),
                       in_mm(box.right), in_mm(box.top), in_mm(box.bottom), in_mm(page.at.x),
                       in_mm(page.at.y));
  }

  const std::vector<StencilTemplate>& templates_;
  const Paper& paper_;
  const std::string& title_;
  TemplatePages layout_;
  PdfDocument pdf_;
};

}  // namespace

std::vector<std::uint8_t> templates_pdf(const std::vector<StencilTemplate>& templates, const Paper& paper,
                                        const std::string& piece_title) {
  if (templates.empty())
    return {};
  return Templates(templates, paper, piece_title).draw();
}

}  // namespace powderplan
