// `powderplan palette`: what is on the shelf, and whether it holds together.
#pragma once

#include <cstdint>
#include <functional>
#include <iosfwd>
#include <string>
#include <vector>

#include "app/palette_flags.h"
#include "glass/palette.h"

namespace powderplan {

// Powders and sheets with their bodies, loads and how well they are known.
std::string palette_table(const Palette& palette);

// The chart of a palette as a PNG file.
using PaletteChart = std::function<std::vector<std::uint8_t>(const Palette& palette)>;

// `draw` is called only where a chart is asked for, and may be empty where none is. Throws Problem, or
// Interrupted; then no chart has been written.
void run_palette(const PaletteOptions& options, const PaletteChart& draw, std::ostream& out);

}  // namespace powderplan
