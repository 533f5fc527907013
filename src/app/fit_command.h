// `powderplan fit`: from a photo of a fired step tile, spectra or swatches to measured powders of a palette.
#pragma once

#include <iosfwd>
#include <string>

#include "app/fit_flags.h"
#include "report/fit_chart.h"

namespace powderplan {

// Every step measured and predicted, and how well the powder is known.
std::string fit_table(const FittedPowder& powder);

// Throws Problem, or Interrupted; then the palette is as it was.
void run_fit(const FitOptions& options, std::ostream& out);

}  // namespace powderplan
