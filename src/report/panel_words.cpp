#include "report/panel_words.h"

#include <fmt/format.h>

#include <cmath>

#include "report/drawing_points.h"
#include "spoken.h"

namespace powderplan {
namespace {

bool goes_down(const PanelCut& cut) {
  return cut.from.x == cut.to.x;
}

}  // namespace

std::string panel_name(std::size_t panel) {
  return fmt::format("panel-{}", panel + 1);
}

std::string panel_folder(std::size_t panel) {
  return "panels/" + panel_name(panel);
}

std::string panel_mm(double mm) {
  return decimal_mm(std::llround(mm * 10) * 100);
}

std::string size_in_words(const BoxMm& box) {
  return fmt::format("{} \u00d7 {} mm", panel_mm(box.right - box.left), panel_mm(box.bottom - box.top));
}

std::string way_in_words(const PanelCut& cut) {
  return goes_down(cut) ? "from top to bottom" : "from left to right";
}

std::string place_in_words(const PanelCut& cut) {
  return goes_down(cut) ? fmt::format("{} mm from the left edge", panel_mm(cut.from.x))
                        : fmt::format("{} mm from the top edge", panel_mm(cut.from.y));
}

std::string panels_in_words(const PanelLayout& layout) {
  return counted(layout.panels.size(), "panel");
}

std::string crossings_in_words(const PanelLayout& layout) {
  std::string words = fmt::format("the cuts cross {} of colour", counted(layout.crossed, "change"));
  if (layout.crossed_if_even)
    words += fmt::format("; as many evenly spaced would cross {}", *layout.crossed_if_even);
  return words;
}

std::string joins_in_words(const PlanRecord& record) {
  return fmt::format(
      "the piece is made in {}: their joins will be seen as fine lines, and no predicted picture shows them",
      panels_in_words(record.panels));
}

}  // namespace powderplan
