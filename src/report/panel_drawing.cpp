#include "report/panel_drawing.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <vector>

#include "report/panel_words.h"

namespace powderplan {
namespace {

struct PanelSign {
  BoxMm box;  // of the piece
  std::string number, size;
};

std::vector<PanelSign> signs_of(const PlanRecord& record) {
  std::vector<PanelSign> signs;
  for (const Panel& panel : record.panels.panels) {
    const BoxMm box = in_mm(panel.box, record.separation.grid.pitch);
    signs.push_back({box, std::to_string(signs.size() + 1),
                     panel_mm(box.right - box.left) + " \u00d7 " + panel_mm(box.bottom - box.top)});
  }
  return signs;
}

PointMm middle_of(const BoxMm& box) {
  return {(box.left + box.right) / 2, (box.top + box.bottom) / 2};
}

PointMm middle_of(const PanelCut& cut) {
  return {(cut.from.x + cut.to.x) / 2, (cut.from.y + cut.to.y) / 2};
}

// The largest letters, as a share of the piece's longer edge, that hold a panel's number and size in the
// narrowest panel.
double letters_of(const PlanRecord& record, double largest) {
  constexpr double letter_width = 0.66;
  double letters = std::max(record.width.value(), record.height.value()) * largest;
  for (const PanelSign& sign : signs_of(record)) {
    const auto count = static_cast<double>(std::max<std::size_t>(sign.size.size() - 1, 3));
    letters = std::min({letters, (sign.box.right - sign.box.left) / (letter_width * count),
                        (sign.box.bottom - sign.box.top) / 4.5});
  }
  return letters;
}

// Numbers and sizes at the middles of panels.
std::string names_element(const std::vector<PanelSign>& signs, double letters) {
  std::string text;
  for (const PanelSign& sign : signs) {
    const PointMm at = middle_of(sign.box);
    text += fmt::format("<text x=\"{:.2f}\" y=\"{:.2f}\" font-size=\"{:.2f}\">{}</text>\n", at.x, at.y,
                        2 * letters, sign.number);
    text +=
        fmt::format("<text x=\"{:.2f}\" y=\"{:.2f}\" font-size=\"{:.2f}\" font-weight=\"normal\">{}</text>\n",
                    at.x, at.y + 1.4 * letters, letters, sign.size);
  }
  return text;
}

// In the top left corner: so much larger than the letters, and so far from the corner in these.
constexpr double corner_size = 1.8, corner_x = 1.3, corner_y = 1.9;

std::string corner_numbers_element(const std::vector<PanelSign>& signs, double letters) {
  std::string text;
  for (const PanelSign& sign : signs)
    text += fmt::format("<text x=\"{:.2f}\" y=\"{:.2f}\" font-size=\"{:.2f}\">{}</text>\n",
                        sign.box.left + corner_x * letters, sign.box.top + corner_y * letters,
                        corner_size * letters, sign.number);
  return text;
}

std::string path_of(const PanelCut& cut) {
  return fmt::format("M{:.3f} {:.3f}L{:.3f} {:.3f}", cut.from.x, cut.from.y, cut.to.x, cut.to.y);
}

// Where a cut meets the edge of the piece: how far along it is, and which way is out.
struct EdgeNumber {
  PointMm at, outwards;
  std::string number;
};
std::optional<EdgeNumber> number_at_edge(const PlanRecord& record, const PanelCut& cut) {
  constexpr double hair = 1e-6;
  const bool down = cut.from.x == cut.to.x;
  const std::string number = panel_mm(down ? cut.from.x : cut.from.y);
  if ((down ? cut.from.y : cut.from.x) < hair)
    return EdgeNumber{cut.from, down ? PointMm{0, -1} : PointMm{-1, 0}, number};
  if (down ? cut.to.y > record.height.value() - hair : cut.to.x > record.width.value() - hair)
    return EdgeNumber{cut.to, down ? PointMm{0, 1} : PointMm{1, 0}, number};
  return std::nullopt;
}

// Where the plan lies on a page.
struct PlanPlace {
  double zoom = 1;
  PointMm at;
};

PlanPlace plan_place(const PlanRecord& record, PointMm top, double width, double most_height, double size) {
  const double room = 2.2 * size;  // for where the cuts are
  PlanPlace place;
  place.zoom = std::min((width - 2 * room - 4 * size) / record.width.value(),
                        (most_height - 2 * room) / record.height.value());
  const double spare = width - place.zoom * record.width.value();
  place.at = {top.x + spare / 2, top.y + room};
  return place;
}

}  // namespace

std::string panel_lines_element(const PlanRecord& record, PanelNames names) {
  const bool with_sizes = names == PanelNames::with_sizes;
  const double letters = letters_of(record, with_sizes ? 0.032 : 0.02);
  const std::vector<PanelSign> signs = signs_of(record);
  std::string cuts;
  for (const PanelCut& cut : record.panels.cuts)
    cuts += path_of(cut);
  const double line = 0.12 * letters;
  return fmt::format(
             "<g class=\"panels\" fill=\"none\"><path d=\"{0}\" stroke=\"#fff\" "
             "stroke-width=\"{1:.3f}\"/><path "
             "d=\"{0}\" stroke=\"#000\" stroke-width=\"{2:.3f}\" stroke-dasharray=\"{3:.3f}\"/></g>\n",
             cuts, 2.2 * line, line, 8 * line) +
         fmt::format(
             "<g font-weight=\"bold\" text-anchor=\"middle\" fill=\"#000\" stroke=\"#fff\" "
             "stroke-width=\"{:.3f}\" paint-order=\"stroke\" stroke-linejoin=\"round\">\n",
             0.3 * letters) +
         (with_sizes ? names_element(signs, letters) : corner_numbers_element(signs, letters)) + "</g>\n";
}

std::string panel_plan_element(const PlanRecord& record) {
  const double width = record.width.value(), height = record.height.value();
  const double letters = letters_of(record, 0.03), unit = std::max(width, height) / 42, line = 0.11 * letters;
  std::string frames, numbers, places;
  for (const PanelSign& sign : signs_of(record))
    frames += fmt::format("M{0:.3f} {1:.3f}H{2:.3f}V{3:.3f}H{0:.3f}Z", sign.box.left, sign.box.top,
                          sign.box.right, sign.box.bottom);
  for (std::size_t i = 0; i < record.panels.cuts.size(); ++i) {
    const PanelCut& cut = record.panels.cuts[i];
    const bool down = cut.from.x == cut.to.x;
    const PointMm at = middle_of(cut);
    const double disc = 0.75 * letters;
    if (const std::optional<EdgeNumber> edge = number_at_edge(record, cut))
      places +=
          fmt::format("<text x=\"{:.2f}\" y=\"{:.2f}\" dy=\"{}\" text-anchor=\"{}\">{}</text>\n",
                      edge->at.x + 0.5 * unit * edge->outwards.x, edge->at.y + 0.5 * unit * edge->outwards.y,
                      edge->outwards.y > 0   ? ".8em"
                      : edge->outwards.y < 0 ? "0"
                                             : ".35em",
                      edge->outwards.x > 0   ? "start"
                      : edge->outwards.x < 0 ? "end"
                                             : "middle",
                      edge->number);
    // A third of the way: the middle may lie where another cut ends.
    const PointMm disc_at = down ? PointMm{at.x, cut.from.y + 0.28 * (cut.to.y - cut.from.y)}
                                 : PointMm{cut.from.x + 0.28 * (cut.to.x - cut.from.x), at.y};
    numbers += fmt::format(
        "<circle cx=\"{0:.2f}\" cy=\"{1:.2f}\" r=\"{2:.2f}\" fill=\"#000\"/><text x=\"{0:.2f}\" "
        "y=\"{1:.2f}\" "
        "dy=\".36em\" fill=\"#fff\" font-size=\"{3:.2f}\">{4}</text>\n",
        disc_at.x, disc_at.y, disc, 0.95 * letters, i + 1);
  }
  return fmt::format(
             "<svg class=\"piece panelplan\" viewBox=\"{:.3f} {:.3f} {:.3f} {:.3f}\" "
             "preserveAspectRatio=\"xMinYMin "
             "meet\" role=\"img\" aria-label=\"Where the piece is cut into panels\">\n",
             -3.2 * unit, -1.8 * unit, width + 6.4 * unit, height + 3.6 * unit) +
         fmt::format("<path d=\"{}\" fill=\"#fff\" stroke=\"#000\" stroke-width=\"{:.3f}\"/>\n", frames,
                     line) +
         fmt::format("<g fill=\"currentColor\" font-size=\"{:.2f}\">\n{}</g>\n", unit, places) +
         "<g font-weight=\"bold\" text-anchor=\"middle\" fill=\"#000\">\n" +
         names_element(signs_of(record), letters) + numbers + "</g>\n</svg>\n";
}

void draw_panel_lines(PdfDocument& pdf, const PlanRecord& record, PanelNames names, double size,
                      const PiecePlace& place) {
  const auto on_page = [&](PointMm p) {
    return PointMm{place.picture.left + place.zoom * p.x, place.picture.top + place.zoom * p.y};
  };
  for (const PanelCut& cut : record.panels.cuts) {
    const PointMm from = on_page(cut.from), to = on_page(cut.to);
    pdf.line(from, to, {.width = 0.9, .grey = 1});
    pdf.line(from, to, {.width = 0.4, .dash = 2});
  }
  const double letters = std::min(size, letters_of(record, 0.05) * place.zoom);
  for (const PanelSign& sign : signs_of(record)) {
    PageText number{
        .size = 2 * letters, .weight = Weight::bold, .align = Align::centre, .halo = 0.3 * letters};
    if (names == PanelNames::in_corners) {
      const PointMm corner = on_page({sign.box.left, sign.box.top});
      number.size = corner_size * letters;
      pdf.text({corner.x + corner_x * letters, corner.y + corner_y * letters}, sign.number, number);
      continue;
    }
    const PointMm at = on_page(middle_of(sign.box));
    pdf.text(at, sign.number, number);
    pdf.text({at.x, at.y + 1.4 * letters}, sign.size,
             {.size = letters, .align = Align::centre, .halo = 0.25 * letters});
  }
}

double panel_plan_height(const PlanRecord& record, double width, double most_height, double size) {
  const PlanPlace place = plan_place(record, {0, 0}, width, most_height, size);
  return place.at.y + place.zoom * record.height.value() + 2 * size;
}

double draw_panel_plan(PdfDocument& pdf, const PlanRecord& record, PointMm top, double width,
                       double most_height, double size) {
  const PlanPlace place = plan_place(record, top, width, most_height, size);
  const auto on_page = [&](PointMm p) {
    return PointMm{place.at.x + place.zoom * p.x, place.at.y + place.zoom * p.y};
  };
  const double letters = std::min(size, letters_of(record, 0.05) * place.zoom);
  for (const PanelSign& sign : signs_of(record)) {
    const PointMm a = on_page({sign.box.left, sign.box.top}), b = on_page({sign.box.right, sign.box.bottom});
    pdf.shape({a, {b.x, a.y}, b, {a.x, b.y}}, {.width = 0.35});
    const PointMm at = on_page(middle_of(sign.box));
    pdf.text(at, sign.number, {.size = 2 * letters, .weight = Weight::bold, .align = Align::centre});
    pdf.text({at.x, at.y + 1.4 * letters}, sign.size, {.size = letters, .align = Align::centre});
  }
  for (std::size_t i = 0; i < record.panels.cuts.size(); ++i) {
    const PanelCut& cut = record.panels.cuts[i];
    const PointMm from = on_page(cut.from), to = on_page(cut.to);
    if (const std::optional<EdgeNumber> edge = number_at_edge(record, cut)) {
      const PointMm end = on_page(edge->at);
      const double x = edge->outwards.x, y = edge->outwards.y;
      pdf.text({end.x + 0.6 * size * x, end.y + (y > 0   ? 1.3
                                                 : y < 0 ? -0.6
                                                         : 0.36) *
                                                    size},
               edge->number,
               {.size = size,
                .align = x > 0   ? Align::left
                         : x < 0 ? Align::right
                                 : Align::centre});
    }
    const PointMm at{from.x + 0.28 * (to.x - from.x), from.y + 0.28 * (to.y - from.y)};
    pdf.disc(at, 0.8 * letters, Rgb8{0, 0, 0});
    pdf.text({at.x, at.y + 0.36 * letters}, std::to_string(i + 1),
             {.size = letters, .weight = Weight::bold, .align = Align::centre, .grey = 1});
  }
  return place.at.y + place.zoom * record.height.value() + 2 * size;
}

}  // namespace powderplan
