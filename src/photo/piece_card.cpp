#include "photo/piece_card.h"

#include <algorithm>

namespace powderplan {
namespace {

// The glass is no paper, and throws a shadow.
constexpr double shadow = 4;

std::vector<BoxMm> paper_round(double w, double h, double from_corner, const BoxMm& reference) {
  const double far = paper_beyond_mm - 2;
  std::vector<BoxMm> white;
  const auto add = [&](const BoxMm& box) {
    if (box.right - box.left > shadow && box.bottom - box.top > shadow)
      white.push_back(box);
  };
  const double left = from_corner, right = w - from_corner;
  add({left, -far, right, -shadow});
  add({left, h + shadow, reference.left - 3, h + far});
  add({std::max(left, reference.right + 3), h + shadow, right, h + far});
  add({-far, from_corner, -shadow, h - from_corner});
  add({w + shadow, from_corner, w + far, h - from_corner});
  return white;
}

}  // namespace

CardLayout piece_card(Millimetres width, Millimetres height) {
  const double w = width.value(), h = height.value(), out = corner_card_mm / 2;
  const BoxMm reference{2, h + reference_gap_mm, std::min(2 + reference_width_mm, w - 2),
                        h + reference_gap_mm + reference_height_mm - 6};
  CardLayout card{{{{-out, -out}, {w + out, -out}, {w + out, h + out}, {-out, h + out}}}, {}, reference};
  card.white = paper_round(w, h, 2, reference);
  return card;
}

CardLayout piece_card_without_marks(Millimetres width, Millimetres height) {
  CardLayout card = piece_card(width, height);
  const double w = width.value(), h = height.value();
  card.marks = {{{0, 0}, {w, 0}, {w, h}, {0, h}}};
  return card;
}

}  // namespace powderplan
