// The four marks of a card in its photo: found, told apart, verified.
#pragma once

#include <array>
#include <filesystem>

#include "photo/card.h"
#include "photo/flat_view.h"
#include "photo/ring_fit.h"

namespace powderplan {

struct FoundMarks {
  std::array<PhotoPoint, 4> centres;  // true centres, in the order of CardLayout::marks
  std::array<RingFit, 4> rings;       // of those verified; match 0 where only the user says so
  FlatView view;
};

// Every mark must match the ideal rings this well once the photo is brought flat.
inline constexpr double least_ring_match = 0.92;
// Centres lie within this of the truth for photos that pass, lens distortion aside.
inline constexpr double mark_centre_error = 0.1;  // mm

// Throws Problem (input), its place `file`: fewer than four marks; no mark with an eye; marks that do not lie
// as on this card; a mirror image, which shows only where the card is not as wide as it is high; more than
// one card.
FoundMarks find_marks(const Image<float>& luminance, const CardLayout& card,
                      const std::filesystem::path& file);

// From centres that the user gives, each within a few millimetres: moved to the rings where there are some.
// Throws Problem (input) when one is outside the photo, when they are not in the order of the card, or the
// mark with the eye is seen to be another one.
FoundMarks marks_as_given(const Image<float>& luminance, const CardLayout& card,
                          const std::array<PhotoPoint, 4>& given, const std::filesystem::path& file);

}  // namespace powderplan
