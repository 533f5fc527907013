// What the whole shelf can make on one sheet: the colours of its recipes of up to three powders, and how
// near they come to a wanted colour.
#pragma once

#include <array>
#include <memory>
#include <vector>

#include "recipe/nearest_recipe.h"
#include "recipe/painter.h"

namespace powderplan {

class ShelfReach {
 public:
  // Every recipe of at most `most_powders` (1 to 3) of the powders at `usable` in the palette, each at one of
  // a ladder of loads up to `most_load`, in two orders: the most hiding powders at the bottom, and the
  // reverse. Of recipes within one unit of each other in L*, a* and b* one is kept.
  ShelfReach(const Painter& painter, const std::vector<std::size_t>& usable, Load most_load,
             int most_powders);

  // CIEDE2000 to the best recipe.
  [[nodiscard]] double nearest_de00(const Lab& wanted) const;

  // Lightness of the darkest and lightest recipes that are nearly neutral.
  [[nodiscard]] double darkest() const { return darkest_; }
  [[nodiscard]] double lightest() const { return lightest_; }
  // Largest chroma of the hue (radians) at the lightness, smoothed over both.
  [[nodiscard]] double most_chroma(double lightness, double hue) const;

  [[nodiscard]] const std::vector<Lab>& colours() const { return nearest_->colours(); }

 private:
  static constexpr int hue_steps = 36;
  static constexpr int lightness_steps = 26;
  void measure_extent();
  std::shared_ptr<const NearestRecipe> nearest_;
  double darkest_ = 0, lightest_ = 100;
  std::array<std::array<double, hue_steps>, lightness_steps> chroma_{};  // 0 to 360 degrees, L* 0 to 100
};

}  // namespace powderplan
