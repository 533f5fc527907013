// Where glasses that react lie on one another or side by side.
#pragma once

#include <cstdint>
#include <vector>

#include "glass/reactions.h"
#include "layers/layer.h"
#include "layers/spots.h"
#include "separation/pair_price.h"

namespace powderplan {

// Values of Meeting::where.
inline constexpr std::uint8_t meets_on_another = 1;  // one lies on the other
inline constexpr std::uint8_t meets_beside = 2;      // on either side of a common border

// What becomes of a pair in a plan. A powder counts where one of its layers lies with at least
// least_share_that_reacts of its load.
//
// The coats of a point are its layers in their order, bottom to top; layers of one powder that follow each
// other are one coat. Two powders lie on one another where their coats follow each other: a coat of another
// powder between them keeps them apart. A powder lies on the sheet where it is the lowest coat.
// The border is where a point with one of the two, but not the other, is beside a point with the other, but
// not the one. With the sheet there is no border: it is under everything.
struct Meeting {
  Reaction pair;
  Millimetres border;
  double overlap_cm2 = 0;
  Image<std::uint8_t> where;  // empty when they do not meet

  [[nodiscard]] bool anywhere() const { return !where.empty(); }
};

// For each pair that the plan uses, in the order of `pairs`: both powders are laid, or the powder is and the
// sheet is `sheet`. `spots` are those of the layers.
std::vector<Meeting> meetings_of(const std::vector<Reaction>& pairs, const std::vector<Layer>& layers,
                                 const Spots& spots, std::size_t sheet, const Grid& grid);

}  // namespace powderplan
