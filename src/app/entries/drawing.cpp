// Commands that draw, but look at no picture.
#include "app/cards_command.h"
#include "app/entries.h"
#include "app/heat_command.h"
#include "app/palette_command.h"
#include "report/schedule_plot.h"
#include "report/swatch_chart.h"

using namespace powderplan;

namespace {

std::vector<std::uint8_t> schedule_plot(const Schedule& schedule, const GlassConstants& glass,
                                        const std::string& ending) {
  if (ending == ".png")
    return schedule_plot_png(schedule, glass);
  const std::string svg = schedule_plot_svg(schedule, glass);
  return {svg.begin(), svg.end()};
}

}  // namespace

void powderplan_heat_plot(const HeatOptions& options, std::ostream& out, std::ostream&) {
  run_heat(options, schedule_plot, out);
}

void powderplan_palette_chart(const PaletteOptions& options, std::ostream& out, std::ostream&) {
  run_palette(options, swatch_chart_png, out);
}

void powderplan_cards(const CompareOptions& options, std::ostream& out, std::ostream&) {
  run_cards(options, out);
}
