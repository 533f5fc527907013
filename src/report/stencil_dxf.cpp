#include "report/stencil_dxf.h"

#include <fmt/format.h>

#include <array>
#include <span>
#include <string_view>
#include <utility>

#include "report/drawing_points.h"

namespace powderplan {
namespace {

// A DXF file is a list of pairs: a group code, which says what follows, and a value, each on its own line.
class Groups {
 public:
  void add(int code, std::string_view value) { text_ += fmt::format("{:3}\r\n{}\r\n", code, value); }
  void whole(int code, int value) { add(code, fmt::format("{:6}", value)); }
  void length(int code, std::int64_t thousandths) {
    std::string number = decimal_mm(thousandths);
    if (number.find('.') == std::string::npos)
      number += ".0";
    add(code, number);
  }
  void point(DrawnPoint p) {
    length(10, p.x);
    length(20, p.y);
    length(30, 0);
  }
  [[nodiscard]] std::string take() { return std::move(text_); }

 private:
  std::string text_;
};

constexpr std::array<std::string_view, 5> layer_names{"0", "openings", "pins", "sheet", "marks"};
constexpr int colour_as_screen = 7;  // black on white, white on black

void header(Groups& out, DrawnPoint far) {
  out.add(0, "SECTION");
  out.add(2, "HEADER");
  out.add(9, "$ACADVER");
  out.add(1, "AC1009");
  out.add(9, "$INSUNITS");
  out.whole(70, 4);
  out.add(9, "$EXTMIN");
  out.point({0, 0});
  out.add(9, "$EXTMAX");
  out.point(far);
  out.add(0, "ENDSEC");
}

// Without marks there is no layer for them.
void tables(Groups& out, bool with_marks) {
  const auto names = std::span(layer_names).first(layer_names.size() - (with_marks ? 0 : 1));
  out.add(0, "SECTION");
  out.add(2, "TABLES");
  out.add(0, "TABLE");
  out.add(2, "LTYPE");
  out.whole(70, 1);
  out.add(0, "LTYPE");
  out.add(2, "CONTINUOUS");
  out.whole(70, 0);
  out.add(3, "Solid line");
  out.whole(72, 65);
  out.whole(73, 0);
  out.length(40, 0);
  out.add(0, "ENDTAB");
  out.add(0, "TABLE");
  out.add(2, "LAYER");
  out.whole(70, static_cast<int>(names.size()));
  for (const std::string_view name : names) {
    out.add(0, "LAYER");
    out.add(2, name);
    out.whole(70, 0);
    out.whole(62, colour_as_screen);
    out.add(6, "CONTINUOUS");
  }
  out.add(0, "ENDTAB");
  out.add(0, "ENDSEC");
}

void closed_line(Groups& out, const std::vector<DrawnPoint>& points, std::string_view layer) {
  out.add(0, "POLYLINE");
  out.add(8, layer);
  out.whole(66, 1);  // vertices follow
  out.point({0, 0});
  out.whole(70, 1);  // closed
  for (const DrawnPoint& p : points) {
    out.add(0, "VERTEX");
    out.add(8, layer);
    out.point(p);
  }
  out.add(0, "SEQEND");
  out.add(8, layer);
}

}  // namespace

std::string stencil_dxf(const Stencil& stencil) {
  const double border = stencil.border.value();
  const DrawnPoint far{drawn(stencil.width.value() + 2 * border), drawn(stencil.height.value() + 2 * border)};
  Groups out;
  header(out, far);
  tables(out, !stencil.marks.empty());
  out.add(0, "SECTION");
  out.add(2, "ENTITIES");
  for (const PolygonMm& opening : stencil.openings) {
    std::vector<DrawnPoint> points = drawn(opening, {border, border});
    for (DrawnPoint& p : points)
      p.y = far.y - p.y;
    if (points.size() >= 3)
      closed_line(out, points, "openings");
  }
  for (const PointMm& pin : stencil.pins) {
    out.add(0, "CIRCLE");
    out.add(8, "pins");
    out.point({drawn(pin.x + border), far.y - drawn(pin.y + border)});
    out.length(40, drawn(stencil.pin.value() / 2));
  }
  for (const StencilMark& mark : stencil.marks) {
    out.add(0, "LINE");
    out.add(8, "marks");
    out.point({drawn(mark.from.x + border), far.y - drawn(mark.from.y + border)});
    out.length(11, drawn(mark.to.x + border));
    out.length(21, far.y - drawn(mark.to.y + border));
    out.length(31, 0);
  }
  closed_line(out, {{0, 0}, {far.x, 0}, far, {0, far.y}}, "sheet");
  out.add(0, "ENDSEC");
  out.add(0, "EOF");
  return out.take();
}

}  // namespace powderplan
