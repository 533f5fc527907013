#include "report/corner_cards_pdf.h"

#include <fmt/format.h>

#include <array>
#include <string>

#include "photo/piece_card.h"
#include "report/mark_drawing.h"
#include "report/template_pages.h"

namespace powderplan {
namespace {

constexpr double left_of_cards = 40, top_of_cards = 52, between_cards = 34;
constexpr double hair = 0.25;

class CornerCards {
 public:
  explicit CornerCards(const Paper& paper) : paper_(paper), pdf_("Corner cards at true size") {}

  std::vector<std::uint8_t> draw() {
    pdf_.page(paper_.width, paper_.height);
    const double inner = paper_.width.value() - 2 * page_margin;
    pdf_.text_within({page_margin, 20}, inner, "Corner cards for the photo of a piece",
                     {.size = 8, .weight = Weight::bold});
    pdf_.paragraph(
        {page_margin, 29}, inner,
        "Print at 100 %, no scaling. Cut the four squares out along their lines. Each is named by the "
        "corner of the piece that it belongs to; the arrow points at that corner and touches it.",
        {.size = 3.6});
    const double step = corner_card_mm + between_cards;
    card(0, {left_of_cards, top_of_cards}, "top left");
    card(1, {left_of_cards + step, top_of_cards}, "top right");
    card(3, {left_of_cards, top_of_cards + step}, "bottom left");
    card(2, {left_of_cards + step, top_of_cards + step}, "bottom right");
    const double below = top_of_cards + 2 * step + 4;
    words(how_to_lay(), words("How to lay it", below) + 1);
    return pdf_.bytes();
  }

 private:
  // Corners are numbered as the marks are: clockwise from the top left.
  void card(std::size_t corner, PointMm at, const std::string& name) {
    const double side = corner_card_mm, middle = side / 2;
    pdf_.shape({{at.x, at.y}, {at.x + side, at.y}, {at.x + side, at.y + side}, {at.x, at.y + side}},
               {.width = hair});
    const PointMm centre{at.x + middle, at.y + middle};
    draw_mark(pdf_, centre, corner == 0);
    // The corner of the card that touches the piece.
    const bool right = corner == 0 || corner == 3, down = corner == 0 || corner == 1;
    const PointMm inner{at.x + (right ? side : 0), at.y + (down ? side : 0)};
    const double in_x = right ? -1 : 1, in_y = down ? -1 : 1;
    pdf_.fill({{inner.x + in_x * 0.4, inner.y + in_y * 0.4},
               {inner.x + in_x * 4.4, inner.y + in_y * 1.4},
               {inner.x + in_x * 1.4, inner.y + in_y * 4.4}},
              0);
    pdf_.text({at.x + middle, at.y + side + 6}, name,
              {.size = 4.5, .weight = Weight::bold, .align = Align::centre});
  }

  double words(const std::string& heading, double y) {
    pdf_.text({page_margin, y + 5}, heading, {.size = 5, .weight = Weight::bold});
    return y + 11;
  }

  void words(const std::vector<std::string>& lines, double y) {
    const double inner = paper_.width.value() - 2 * page_margin;
    for (std::size_t i = 0; i < lines.size(); ++i) {
      pdf_.text({page_margin, y}, std::to_string(i + 1), {.size = 3.8, .weight = Weight::bold});
      y = pdf_.paragraph({page_margin + 7, y}, inner - 7, lines[i], {.size = 3.6}) + 1.6;
    }
    const double foot = paper_.height.value() - page_margin - 4, length = 50;
    pdf_.line({page_margin, foot}, {page_margin + length, foot}, {.width = hair});
    for (const double x : {page_margin, page_margin + length})
      pdf_.line({x, foot - 2}, {x, foot + 2}, {.width = hair});
    pdf_.text({page_margin + length / 2, foot - 1.2}, "50 mm",
              {.size = 3.6, .weight = Weight::bold, .align = Align::centre});
    pdf_.text({page_margin + length + 6, foot + 1}, "Measure it. Blades and the edges of glass are sharp.",
              {.size = 3.4});
  }

  [[nodiscard]] static std::vector<std::string> how_to_lay() {
    return {
        fmt::format("Only when the kiln has been opened safely and the piece is at room temperature. Lay it "
                    "on clean white paper that reaches at least {:g} mm beyond it on all sides; several "
                    "sheets may lie side by side. Use the paper that these cards are printed on.",
                    paper_beyond_mm),
        "Lay each card at its corner, flat, its sides in line with those of the piece. The card with the "
        "white "
        "eye is the top left one.",
        fmt::format(
            "A grey card, if you have one: below the piece, {:g} mm from it, its left edge {:g} mm to "
            "the right of the piece's left edge. It should be {:g} mm wide and {:g} mm high or more.",
            reference_gap_mm, 2.0, reference_width_mm, reference_height_mm),
        "Photograph it square on, from as far as the whole of it still fills the picture, in even daylight "
        "from "
        "the side, no lamp, no flash, and turned so that nothing bright is mirrored in the glass."};
  }

  const Paper& paper_;
  PdfDocument pdf_;
};

}  // namespace

std::vector<std::uint8_t> corner_cards_pdf(const Paper& paper) {
  return CornerCards(paper).draw();
}

}  // namespace powderplan
