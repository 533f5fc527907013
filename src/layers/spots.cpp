#include "layers/spots.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>

namespace powderplan {
namespace {

Amount rounded(Amount amount, Amount levels) {
  const double step = static_cast<double>(whole_amount) / levels;
  return static_cast<Amount>(std::lround(std::round(amount / step) * step));
}

// Numbers lists of amounts, all of one length, as they are met: a table of places, each tried after the one
// before (Knuth, The Art of Computer Programming 3, 6.4, algorithm L).
class Numbering {
 public:
  Numbering(std::size_t length, std::vector<Amount>& lists) : length_(length), lists_(lists) {}

  std::uint32_t number_of(const Amount* list) {
    std::size_t place = place_of(list);
    if (places_[place] == free) {
      if (2 * ++count_ > places_.size()) {
        grow();
        place = place_of(list);
      }
      places_[place] = count_ - 1;
      lists_.insert(lists_.end(), list, list + length_);
    }
    return places_[place];
  }

 private:
  static constexpr std::uint32_t free = ~std::uint32_t{0};

  // Where the list is, or where it would be put.
  [[nodiscard]] std::size_t place_of(const Amount* list) const {
    std::uint64_t mixed = 0;
    for (std::size_t i = 0; i < length_; i += sizeof(std::uint64_t)) {
      std::uint64_t part = 0;
      std::memcpy(&part, list + i, std::min(sizeof(part), length_ - i));
      mixed = (mixed ^ part) * 0x9E3779B97F4A7C15U;  // 2^64 over the golden ratio
      mixed ^= mixed >> 32;
    }
    std::size_t place = mixed & (places_.size() - 1);
    while (places_[place] != free &&
           std::memcmp(lists_.data() + places_[place] * length_, list, length_) != 0)
      place = (place + 1) & (places_.size() - 1);
    return place;
  }
  void grow() {
    places_.assign(2 * places_.size(), free);
    for (std::uint32_t number = 0; number + 1 < count_; ++number)
      places_[place_of(lists_.data() + number * length_)] = number;
  }

  std::size_t length_;
  std::vector<Amount>& lists_;
  std::uint32_t count_ = 0;
  std::vector<std::uint32_t> places_ = std::vector<std::uint32_t>(1024, free);
};

}  // namespace

Spots::Spots(const std::vector<Layer>& layers, int width, int height, Amount levels)
    : layers_(layers.size()), at_(width, height, 0) {
  if (layers_ == 0)
    return;
  number(layers, levels);
  amounts_.shrink_to_fit();  // of a large piece that is millions of spots
}

void Spots::number(const std::vector<Layer>& layers, Amount levels) {
  const int width = at_.width(), height = at_.height();
  std::array<Amount, whole_amount + 1> taken{};
  for (std::size_t amount = 0; amount < taken.size(); ++amount)
    taken[amount] = rounded(static_cast<Amount>(amount), levels);
  Numbering numbering(layers_, amounts_);
  // The amounts of a row, point by point; most points carry what the one before does.
  std::vector<Amount> row(static_cast<std::size_t>(width) * layers_);
  for (int y = 0; y < height; ++y) {
    for (std::size_t i = 0; i < layers_; ++i) {
      const Amount* amounts = layers[i].amount.row(y);
      for (std::size_t x = 0; x < static_cast<std::size_t>(width); ++x)
        row[x * layers_ + i] = taken[amounts[x]];
    }
    const Amount* last = nullptr;
    std::uint32_t* to = at_.row(y);
    for (int x = 0; x < width; ++x) {
      const Amount* here = row.data() + static_cast<std::size_t>(x) * layers_;
      to[x] =
          last != nullptr && std::memcmp(last, here, layers_) == 0 ? to[x - 1] : numbering.number_of(here);
      last = here;
    }
  }
}

Recipe recipe_at(const Spots& spots, std::size_t spot, const std::vector<Layer>& layers,
                 std::span<const std::size_t> without) {
  Recipe recipe;
  for (std::size_t i = 0; i < layers.size(); ++i) {
    const Amount amount = spots.amount(spot, i);
    if (amount != 0 && std::find(without.begin(), without.end(), i) == without.end())
      lay_on(recipe, {layers[i].powder, layers[i].load * (static_cast<double>(amount) / whole_amount)});
  }
  return recipe;
}

}  // namespace powderplan
