#include "report/line_files.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "report/canvas.h"
#include "report/layer_names.h"

namespace powderplan {
namespace {

// Points [begin, end] of a line that one stroke of even width shows well enough.
std::size_t end_of_run(const LinePath& path, std::size_t begin) {
  double least = path.width_mm[begin], most = least;
  std::size_t end = begin + 1;
  for (std::size_t i = begin + 1; i < path.points.size(); ++i) {
    least = std::min(least, path.width_mm[i]);
    most = std::max(most, path.width_mm[i]);
    if (i > begin + 1 && most - least > 2 * width_step.value())
      break;
    end = i;
  }
  return end;
}

// A leg whose ends differ much in width is parted so that the width of each part is right.
LinePath parted(const LinePath& path) {
  LinePath fine;
  for (std::size_t i = 0; i < path.points.size(); ++i) {
    if (i > 0) {
      const double from = path.width_mm[i - 1], to = path.width_mm[i];
      const int parts =
          std::max(1, static_cast<int>(std::ceil(std::abs(to - from) / (2 * width_step.value()))));
      for (int k = 1; k < parts; ++k) {
        const double s = static_cast<double>(k) / parts;
        const PointMm &a = path.points[i - 1], &b = path.points[i];
        fine.points.push_back({a.x + s * (b.x - a.x), a.y + s * (b.y - a.y)});
        fine.width_mm.push_back(from + s * (to - from));
      }
    }
    fine.points.push_back(path.points[i]);
    fine.width_mm.push_back(path.width_mm[i]);
  }
  return fine;
}

std::string strokes_of(const LinePath& whole) {
  const LinePath path = parted(whole);
  std::string strokes;
  for (std::size_t begin = 0; begin + 1 < path.points.size();) {
    const std::size_t end = end_of_run(path, begin);
    const auto [least, most] =
        std::minmax_element(path.width_mm.begin() + static_cast<std::ptrdiff_t>(begin),
                            path.width_mm.begin() + static_cast<std::ptrdiff_t>(end) + 1);
    strokes += fmt::format("<path stroke-width=\"{:.2f}\" d=\"", (*least + *most) / 2);
    for (std::size_t i = begin; i <= end; ++i)
      strokes += fmt::format("{}{:.3f} {:.3f}", i == begin ? "M" : "L", path.points[i].x, path.points[i].y);
    strokes += "\"/>\n";
    begin = end;
  }
  return strokes;
}

}  // namespace

std::string lines_svg(const LinePlan& lines, Millimetres width, Millimetres height,
                      const std::string& title) {
  std::string svg = fmt::format(
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
      "<svg xmlns=\"http://www.w3.org/2000/svg\" version=\"1.1\" width=\"{0:.3f}mm\" height=\"{1:.3f}mm\" "
      "viewBox=\"0 0 {0:.3f} {1:.3f}\">\n<title>{2}</title>\n"
      "<desc>Middle lines at true size, as wide as they are laid, in the order of drawing.</desc>\n"
      "<g id=\"piece\" fill=\"none\" stroke=\"#808080\" stroke-width=\"0.1\">\n"
      "<path d=\"M0 0L{0:.3f} 0L{0:.3f} {1:.3f}L0 {1:.3f}Z\"/>\n</g>\n"
      "<g id=\"lines\" fill=\"none\" stroke=\"#000000\" stroke-linecap=\"round\" "
      "stroke-linejoin=\"round\">\n",
      width.value(), height.value(), marked(title).text);
  for (std::size_t i = 0; i < lines.paths.size(); ++i)
    svg += fmt::format("<g id=\"line-{0}\"><title>{0}</title>\n{1}</g>\n", i + 1, strokes_of(lines.paths[i]));
  return svg + "</g>\n</svg>\n";
}

LineWidths widths_of(const LinePlan& lines) {
  LineWidths widths;
  bool first = true;
  for (const LinePath& path : lines.paths) {
    for (const double width : path.width_mm) {
      widths.least_mm = first ? width : std::min(widths.least_mm, width);
      widths.most_mm = std::max(widths.most_mm, width);
      first = false;
    }
  }
  return widths;
}

std::string lines_file(const PlanRecord& record, std::size_t layer) {
  return "stencils/" + layer_file_stem(record, layer) + "-lines.svg";
}

std::string scratched_file(const PlanRecord& record, std::size_t layer) {
  return "stencils/" + layer_file_stem(record, layer) + "-scratched.svg";
}

nlohmann::ordered_json lines_json(const std::optional<LinePlan>& lines, const std::string& file) {
  if (!lines)
    return nullptr;
  const LineWidths widths = widths_of(*lines);
  return {{"paths", lines->paths.size()},
          {"length_mm", lines->length_mm},
          {"travel_mm", lines->travel_mm},
          {"widths_mm", {widths.least_mm, widths.most_mm}},
          {"file", file}};
}

}  // namespace powderplan
