// The colours that a spot is mixed from: one for each way in which the grains of its layers can lie over each
// other there.
#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "report/sifted_grains.h"
#include "report/stage.h"

namespace powderplan {

// Linear light, sRGB primaries, as it is: not clipped.
struct Light3 {
  float r = 0, g = 0, b = 0;
};
constexpr Light3 operator+(Light3 a, Light3 b) {
  return {a.r + b.r, a.g + b.g, a.b + b.b};
}
constexpr Light3 operator*(Light3 a, float f) {
  return {a.r * f, a.g * f, a.b * f};
}

// Coats of one spot that are drawn by grains, at most; of more, the thickest are taken as even. And the
// colours that such a spot is mixed from, at most.
inline constexpr std::size_t most_grained = 5, most_mixed = std::size_t{1} << most_grained;

struct CoatLook {
  std::uint16_t layer = 0;  // whose grains it is drawn with
  bool grains = false;      // whether it covers so thinly that grains are told apart
  float cover = 0;          // the share it covers, in the mean
  float covers = 0;         // its load over the load of one cover, at most most_covers
};

// All spots of a moment that are wanted, looked at once.
class SpotLooks {
 public:
  // `wanted`, one a spot: 0 leaves it out.
  SpotLooks(const PlanRecord& record, const Moment& moment, View view, std::span<const std::uint8_t> wanted);

  // Bottom to top.
  [[nodiscard]] std::span<const CoatLook> coats(std::size_t spot) const {
    return {coats_.data() + first_coat_[spot], first_coat_[spot + 1] - first_coat_[spot]};
  }
  // One for each set of grain-drawn coats that cover: bit i of the place is the i-th of them from the bottom.
  // Their mean, weighted by the shares covered, is what optics/stack.h predicts for the spot.
  [[nodiscard]] const Light3* colours(std::size_t spot) const {
    return colours_.data() + first_colour_[spot];
  }
  // By layer: whose grains some spot is drawn with.
  [[nodiscard]] const std::vector<bool>& grained() const { return grained_; }

 private:
  std::vector<std::size_t> first_coat_, first_colour_;
  std::vector<CoatLook> coats_;
  std::vector<Light3> colours_;
  std::vector<bool> grained_;
};

// Grains of a layer at a moment.
GrainKind grains_of(const PlanRecord& record, std::size_t layer, const Moment& moment, std::uint64_t seed);

}  // namespace powderplan
