// The studio's shelf: powders, sheets and the constants of their glass.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "colour/tristimulus.h"
#include "glass/glass_constants.h"
#include "optics/stack.h"
#include "units.h"

namespace powderplan {

enum class Body { transparent, opalescent };
std::string_view name_of(Body body);

struct Powder {
  std::string id;    // as in file names: letters, digits, '-' and '_'
  std::string name;  // free text
  std::string family;
  Body body = Body::opalescent;
  PowderOptics optics;
  // The colours of the fired swatch, as given; for a measured powder, as predicted from k and s.
  Rgb8 over_white, over_black;
  Load swatch_load = full_load;
  std::optional<Grams> stock;
  std::optional<double> price_per_100g;
  std::vector<std::string> carries;       // chemistry it holds, e.g. "sulphur"
  std::vector<std::string> reacts_with;   // chemistry it darkens against
  std::optional<double> expansion_per_k;  // where the studio knows it; else that of the palette
  bool strikes = false;                   // takes its colour only in the kiln
  std::optional<Rgb8> unfired;            // colour of the loose powder, where the studio knows it
  bool measured = false;                  // k and s come from a measurement, not from two swatch colours
  // How far predictions of this powder are expected to be off, CIEDE2000: of a measurement the stated
  // expected error, or else its residual; else the uncertainty of two swatch colours.
  double expected_de00 = 0;
};

struct Sheet {
  std::string id, name, family;
  Body body = Body::transparent;
  Millimetres thickness{3.0};
  Spectrum k, s;  // cm2/g
  Rgb8 over_white, over_black;
  std::vector<std::string> carries, reacts_with;  // as of a powder
  std::optional<double> expansion_per_k;          // as of a powder
};

struct Palette {
  std::string name, note, family;
  std::vector<Powder> powders;
  std::vector<Sheet> sheets;
  GlassConstants glass;

  [[nodiscard]] const Powder* find_powder(std::string_view id) const;
  [[nodiscard]] const Sheet* find_sheet(std::string_view id) const;
};

// A powder known from two swatch colours alone: what a studio should expect of a prediction, CIEDE2000.
// Our estimate: twice the 2 that the best calibrated overprints reach in print.
inline constexpr double unmeasured_de00 = 4.0;
// A swatch whose two colours no glass can have by more than this is refused, CIEDE2000.
inline constexpr double impossible_swatch_de00 = 8.0;

// The median of the grains of the powders at these places in `palette.powders`; there must be one.
Millimetres median_grain(const Palette& palette, std::vector<std::size_t> powders);

// Reads the TOML text of a palette. `file` is only used to name the place of a fault.
// Throws Problem (input) with file, line, what is wrong and what to do: bad TOML, unknown or missing
// keys, wrong types, numbers out of range or not finite, malformed or physically impossible colours,
// duplicate ids, no powders, no sheets, more than one expansion family, expansions too far apart.
Palette parse_palette(const std::string& toml, const std::string& file);

// The shelves as one. Throws Problem (input) when their families or the constants of their glass differ, an
// id is on both, or the expansions of two glasses are too far apart.
Palette merge(const std::vector<Palette>& shelves, const std::vector<std::string>& files);

}  // namespace powderplan
