// One colour from the pieces of a field, glare and dirt left out.
#pragma once

#include <filesystem>
#include <string>

#include "photo/card_photo.h"

namespace powderplan {

// A piece of a field, about 1.5 mm across: the mean over its grains.
struct FieldPiece {
  LinearRgb light;  // as a share of white paper's
  Xyz colour;
  bool clipped = false, outside = false;
};

// Glare is brighter than the field by more than the field itself varies, adds light without much colour, and
// covers neighbouring pieces; single bright pieces are grain and count. Dirt is of another colour and covers
// neighbouring pieces. The field's own level is where its lightness lies closest together (the shortest
// interval with 40 % of the pieces; Rousseeuw and Leroy 1987 for the half, from memory). Throws Problem
// (input), its place `file`, when less than half of the pieces are left.
FieldReading reading_of(const Image<FieldPiece>& pieces, const std::string& name,
                        const std::filesystem::path& file);

// FieldReading::unevenness above which a field is refused; and above which it is when it goes smoothly up or
// down across the field, as wide glare and the skirts of shadows do.
inline constexpr double most_unevenness = 6, most_slope = 2.5;

}  // namespace powderplan
