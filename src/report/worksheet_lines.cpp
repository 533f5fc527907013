// What the worksheet says of lines that are laid or scratched.
#include <fmt/format.h>

#include "report/bench_numbers.h"
#include "report/line_files.h"
#include "report/worksheet_parts.h"
#include "spoken.h"

namespace powderplan {
namespace {

std::string shown_widths(const LineWidths& widths) {
  const std::string least = fmt::format("{:.1f}", widths.least_mm), most = shown(Millimetres(widths.most_mm));
  return least + " mm" == most ? most : least + " to " + most;
}

std::string shown_length(double mm) {
  return mm < 1000 ? fmt::format("{:.0f} mm", mm) : fmt::format("{:.1f} m", mm / 1000);
}

PageData facts(const LinePlan& lines, const std::string& file) {
  PageData data;
  data.set("count", counted(lines.paths.size(), "line"));
  data.set("length", shown_length(lines.length_mm));
  data.set("widths", shown_widths(widths_of(lines)));
  const PointMm& start = lines.paths.front().points.front();
  data.set("start", fmt::format(" (x {:.0f}, y {:.0f} mm)", start.x, start.y));
  data.set("file", file);
  return data;
}

// Whether powder that an adhesive does not hold lies on the glass when this layer is laid.
bool lies_over_loose(const PlanRecord& record, std::size_t layer) {
  for (const std::size_t earlier :
       record.firing_plan.firings[record.firing_plan.places[layer].firing].layers) {
    if (earlier == layer)
      break;
    if (record.layers[earlier].technique != Technique::line)
      return true;
  }
  return false;
}

}  // namespace

void add_line_words(PageData& step, const PlanRecord& record, std::size_t i) {
  const Layer& layer = record.layers[i];
  step.set("lines", false);
  step.set("scratching", false);
  if (layer.lines && !layer.lines->paths.empty()) {
    PageData lines = facts(*layer.lines, lines_file(record, i));
    lines.set("over_loose", lies_over_loose(record, i));
    step.set("lines", lines);
  }
  if (layer.scratched && !layer.scratched->paths.empty())
    step.set("scratching", facts(*layer.scratched, scratched_file(record, i)));
}

void add_line_checks(PageData& checks, const PlanRecord& record, std::size_t i) {
  const Layer& layer = record.layers[i];
  if (layer.technique == Technique::line)
    checks.push_back(PageData("check", fmt::format("About {} lies on the glass: weigh what is left.",
                                                   shown(record.weights.layers[i].lands))));
  if (layer.scratched)
    checks.push_back(
        PageData("check", std::string("Scratched lines are clear down to the glass, their edges crisp, "
                                      "and nothing loose lies in them.")));
}

}  // namespace powderplan
