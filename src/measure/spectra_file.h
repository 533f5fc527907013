// Spectra of fired steps from a spectrophotometer, as a plain table.
#pragma once

#include <string>

#include "measure/readings.h"

namespace powderplan {

// Whether an instrument's reflectance holds the mirror reflection of a glossy surface.
enum class Gloss { left_out, included };

// A CSV table (csv_table.h). The first column is `wavelength_nm`, rising, from 400 or below to 700 or above;
// every other column is a reading, and its heading says of what:
//   reflectance 0 light      the bare light ground        reflectance 0.12 light   0.12 g/cm2 of powder on it
//   transmittance 0          the bare clear sheet         transmittance 0.12       0.12 g/cm2 of powder on it
// Grounds are opaque and may have any name, of one word; each ground that is used must have its bare reading.
// Values are shares, 0 to 1. A band is the mean of what lies within 10 nm of its middle, nearer counting
// more; where a table is coarser, it lies on the straight line between its neighbours. Throws Problem (input)
// with file, line, what is wrong and what to do.
Readings read_spectra(const std::string& csv, const std::string& file, Gloss gloss);

}  // namespace powderplan
