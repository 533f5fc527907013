// Glasses that shrink differently: how far apart they are, and what that does to a piece.
#pragma once

#include <string>
#include <vector>

#include "glass/palette.h"

namespace powderplan {

// Above this a sandwich seal "is likely to fracture" (ASTM F144, its scope).
inline constexpr double most_mismatch_ppm = 300;
// From here on a plan warns. Our threshold: a third of that.
inline constexpr double warned_mismatch_ppm = 100;

// How much less one of two glasses shrinks than the other from the strain point, where glass begins to hold
// stress, down to room temperature.
struct Mismatch {
  double ppm = 0;  // of length
  // Where the one holds the other back in both directions of the sheet: E * (difference in length) / (1 -
  // nu), thin layer on a thick one (Timoshenko and Goodier, Theory of Elasticity, from memory).
  double stress_mpa = 0;
};
Mismatch mismatch_of(double expansion_per_k, double other_per_k, Celsius strain);

// Two glasses of a palette whose expansions are not the same, by their ids.
struct MismatchedPair {
  std::string one, other;
  Mismatch mismatch;
};

// Powders against powders, then powders against sheets, in the order of the palette: sheets do not touch one
// another. A glass that states no expansion of its own has that of the palette.
std::vector<MismatchedPair> mismatches_of(const Palette& palette);

// "368 ppm, 32 MPa"
std::string shown(const Mismatch& mismatch);

// Throws Problem (input), its place `place`, when a powder or sheet that comes to a palette is more than
// most_mismatch_ppm away from a glass there that it can touch. `kind` is "powder" or "sheet".
void refuse_mismatch(const Palette& palette, const Powder& added, const std::string& place);
void refuse_mismatch(const Palette& palette, const Sheet& added, const std::string& place);

}  // namespace powderplan
