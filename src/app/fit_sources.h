// What `powderplan fit` is to measure, from its options: readings of each powder.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/fit_command.h"
#include "glass/palette.h"
#include "measure/readings.h"

namespace powderplan {

// A powder that the palette does not have yet.
struct NewPowder {
  Body body;
  Millimetres grain;
};

struct FitSource {
  std::string id;
  std::string words;  // what was measured: "tile.jpg, row 2: 5 loads"
  std::string place;  // for messages about the readings
  std::optional<NewPowder> added;
  Readings readings;
};

struct FitSources {
  std::vector<FitSource> powders;
  std::vector<std::string> notes;  // of the photo
};

// Throws Problem: options that do not go together, files that cannot be read, powders that are not there.
FitSources fit_sources(const FitOptions& options, const Palette& palette, const std::string& palette_file);

}  // namespace powderplan
