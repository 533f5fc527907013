// A photo of a card, brought flat, evened out and balanced: colours as they would be under D65.
//
// By the paper and by a neutral card each channel of the photo (linear, sRGB primaries) is scaled alone:
// right for a camera that gives true sRGB but for its white. A chart corrects mixtures of channels and a hard
// or soft tone too. How near colours come is measured in tests/photo and
// tests/outside/reference_chart_test.cpp.
#pragma once

#include <array>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "colour/tristimulus.h"
#include "photo/card.h"
#include "photo/photo_point.h"
#include "raster/picture.h"

namespace powderplan {

// What white and lightness are judged by.
struct PaperReference {  // the white paper itself: taken as neutral, with this share reflected
  double reflects = 0.85;
};
struct NeutralReference {  // a neutral card in the card's place for it
  double reflects = 0.18;
};
struct ChartReference {  // a printed chart that fills that place, patches row by row from the top left
  int rows = 0, columns = 0;
  std::vector<Xyz> patches;  // adapted to D65
};
using WhiteReference = std::variant<PaperReference, NeutralReference, ChartReference>;

struct PhotoRules {
  // Centres of the four marks, in the order of CardLayout::marks, where the user gives them.
  std::optional<std::array<PhotoPoint, 4>> marks;
  WhiteReference reference = PaperReference{};
};

// The colour of an even field.
struct FieldReading {
  Xyz colour;             // Y = 1 for the perfect diffuser
  double used = 0;        // share of the field that counted: glare and dirt are left out
  double unevenness = 0;  // CIEDE2000 between parts of the field that counted, as a standard deviation
};

class CardPhoto {
 public:
  // Finds the marks, brings the photo flat, corrects light and white. Throws Problem (input), its place
  // `file`: marks not found, or found in more than one way; too far from square on; blurred; too dark;
  // clipped; light that the white paper cannot explain; the reference missing from its place.
  CardPhoto(const Picture& photo, const CardLayout& card, const PhotoRules& rules,
            std::filesystem::path file);
  ~CardPhoto();
  CardPhoto(CardPhoto&&) noexcept;

  // `name` is how the field is called in messages ("cell 3 on the dark ground"). Throws Problem (input) when
  // it lies outside the photo, when glare, clipping or dirt leaves too little of it, and when what is left is
  // not one colour (photo/field_reading.h). Its borders do not count: a tenth on each side, and what blur and
  // the photo's coarse colour bring in from beside it.
  [[nodiscard]] FieldReading read(const BoxMm& field, const std::string& name) const;
  // Part of the card on a grid of its own; a point is the mean of what it covers.
  [[nodiscard]] Image<Xyz> flattened(const BoxMm& area, Millimetres pitch) const;
  // Points of `flattened` that cannot be trusted: clipped, or outside the photo.
  [[nodiscard]] Image<std::uint8_t> untrusted(const BoxMm& area, Millimetres pitch) const;
  // What was done, for the record: e.g. how uneven the light was, how far the white was off.
  [[nodiscard]] const std::vector<std::string>& notes() const;
  [[nodiscard]] const std::array<PhotoPoint, 4>& marks() const;

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace powderplan
