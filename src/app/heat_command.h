// `powderplan heat`: what a schedule that a studio already uses makes of its powders.
#pragma once

#include <cstdint>
#include <functional>
#include <iosfwd>
#include <string>
#include <vector>

#include "app/heat_flags.h"
#include "firing/schedule.h"

namespace powderplan {

// A schedule drawn as a file of this ending, .svg or .png.
using SchedulePlot = std::function<std::vector<std::uint8_t>(
    const Schedule& schedule, const GlassConstants& glass, const std::string& ending)>;

// `draw` is called only where a plot is asked for, and may be empty where none is. Throws Problem, or
// Interrupted; then no plot has been written.
void run_heat(const HeatOptions& options, const SchedulePlot& draw, std::ostream& out);

}  // namespace powderplan
