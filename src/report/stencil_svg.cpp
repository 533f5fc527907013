#include "report/stencil_svg.h"

#include <fmt/format.h>

#include "report/canvas.h"
#include "report/drawing_points.h"

namespace powderplan {
namespace {

std::string path_of(const std::vector<DrawnPoint>& points) {
  std::string path;
  for (const DrawnPoint& p : points)
    path += fmt::format("{}{} {}", path.empty() ? "M" : "L", decimal_mm(p.x), decimal_mm(p.y));
  return path + "Z";
}

}  // namespace

std::string stencil_svg(const Stencil& stencil, std::string_view title) {
  const double border = stencil.border.value();
  const PointMm far{stencil.width.value() + 2 * border, stencil.height.value() + 2 * border};
  const std::string width = decimal_mm(drawn(far.x)), height = decimal_mm(drawn(far.y));
  std::string svg = fmt::format(
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
      "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{0}mm\" height=\"{1}mm\" "
      "viewBox=\"0 0 {0} {1}\">\n"
      "<title>{2}</title>\n"
      "<desc>Cut lines of a stencil at true size, {0} by {1} mm. Cut the openings first, the edge of the "
      "sheet "
      "last. Cut edges and blades are sharp.</desc>\n"
      "<g fill=\"none\" stroke=\"#000000\" stroke-width=\"{3}\">\n<g id=\"openings\">\n",
      width, height, marked(std::string(title)).text, hairline.value());
  for (const PolygonMm& opening : stencil.openings) {
    const std::vector<DrawnPoint> points = drawn(opening, {border, border});
    if (points.size() >= 3)
      svg += fmt::format("<path class=\"opening\" d=\"{}\"/>\n", path_of(points));
  }
  svg += "</g>\n<g id=\"pins\">\n";
  for (const PointMm& pin : stencil.pins)
    svg += fmt::format("<circle class=\"pin\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>\n",
                       decimal_mm(drawn(pin.x + border)), decimal_mm(drawn(pin.y + border)),
                       decimal_mm(drawn(stencil.pin.value() / 2)));
  if (!stencil.marks.empty())
    svg += "</g>\n<g id=\"marks\">\n";
  for (const StencilMark& mark : stencil.marks)
    svg += fmt::format("<path class=\"mark\" d=\"M{} {}L{} {}\"/>\n", decimal_mm(drawn(mark.from.x + border)),
                       decimal_mm(drawn(mark.from.y + border)), decimal_mm(drawn(mark.to.x + border)),
                       decimal_mm(drawn(mark.to.y + border)));
  svg += fmt::format("</g>\n<g id=\"sheet\">\n<path class=\"sheet\" d=\"M0 0L{0} 0L{0} {1}L0 {1}Z\"/>\n",
                     width, height);
  return svg + "</g>\n</g>\n</svg>\n";
}

}  // namespace powderplan
