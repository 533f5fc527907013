// What it costs a plan when two powders touch.
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "separation/separation.h"

namespace powderplan {

// In CIEDE2000, at every point where one lies on the other. Negative: the contact is wished for. A powder
// with itself: what each g/cm2 of it costs, wherever it lies, because there is little of it.
struct PairPrice {
  std::size_t one = 0, other = 0;  // places in Palette::powders
  double price = 0;

  [[nodiscard]] bool wished() const { return price < 0; }
  [[nodiscard]] bool by_load() const { return one == other; }
  [[nodiscard]] bool of(std::size_t a, std::size_t b) const {
    return (a == one && b == other) || (a == other && b == one);
  }
  friend bool operator==(const PairPrice&, const PairPrice&) = default;
};

// A powder is there where one of its layers lies with at least this share of its load: thinner dust at the
// end of a fade or beside a line is too little to be seen darkening. Our choice.
inline constexpr double least_share_that_reacts = 0.1;

// Powders that lie side by side touch too, where no recipe tells: a choice that holds both of a pair to be
// avoided, or not both of one that is wished for, pays this share of the price over the whole picture. One
// of two that are wished for pays half, so that a search that adds powders one by one finds its way. Our
// choice.
inline constexpr double share_for_holding = 0.05;

// What a recipe pays for the pairs in it: the price of each one to be avoided whose powders follow each
// other, and of each one wished for whose powders do not; and for the loads of dear powders. Never less than
// 0.
double price_of_contacts(const Recipe& recipe, std::span<const PairPrice> prices);

// What a choice pays for the powders that it holds together, or does not. Never less than 0.
double price_of_holding(const Choice& choice, std::span<const PairPrice> prices);

}  // namespace powderplan
