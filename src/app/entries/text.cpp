// Commands that read text and tell in text.
#include "app/entries.h"
#include "app/heat_command.h"
#include "app/palette_command.h"

using namespace powderplan;

void powderplan_heat(const HeatOptions& options, std::ostream& out, std::ostream&) {
  run_heat(options, {}, out);
}

void powderplan_palette(const PaletteOptions& options, std::ostream& out, std::ostream&) {
  run_palette(options, {}, out);
}
