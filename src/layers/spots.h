// Points of the piece that carry the same amounts of all layers, found once so that each look is computed
// once.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "layers/layer.h"
#include "recipe/recipe.h"

namespace powderplan {

class Spots {
 public:
  Spots() = default;
  // All layers must have the same size. Amounts are rounded to `levels` steps (1..255, a divisor of 255
  // keeps 0 and all exact); 255 takes them as they are.
  explicit Spots(const std::vector<Layer>& layers, int width, int height, Amount levels = whole_amount);

  [[nodiscard]] std::size_t count() const { return layers_ == 0 ? 1 : amounts_.size() / layers_; }
  // Which spot, at each grid point.
  [[nodiscard]] const Image<std::uint32_t>& at() const { return at_; }
  // Of a layer at a spot.
  [[nodiscard]] Amount amount(std::size_t spot, std::size_t layer) const {
    return amounts_[spot * layers_ + layer];
  }

 private:
  void number(const std::vector<Layer>& layers, Amount levels);

  std::size_t layers_ = 0;
  Image<std::uint32_t> at_;
  std::vector<Amount> amounts_;  // spot by spot
};

// What a spot carries, bottom to top: the layers in their order, neighbours of one powder as one dose.
// `without` leaves layers out (places in `layers`).
Recipe recipe_at(const Spots& spots, std::size_t spot, const std::vector<Layer>& layers,
                 std::span<const std::size_t> without = {});

}  // namespace powderplan
