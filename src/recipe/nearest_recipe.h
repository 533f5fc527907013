// Of a fixed list of colours the one nearest to a wanted colour by CIEDE2000: exactly the one that comparing
// with all of them gives, without comparing with all of them.
//
// Lab is cut into cells, and each cell keeps those colours of the list that can be nearest somewhere in it:
// all whose least difference to the cell is not above the smallest of the largest differences
// (colour/difference_bounds.h). A cell is made when first asked for and split into eight once enough colours
// have fallen into it to pay for that. A wanted colour is compared with those of its cell in single
// precision, and only where that leaves more than one (colour/difference_keys.h) with those few in double
// precision. So cells change how long an answer takes, never the answer.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <span>
#include <vector>

#include "colour/tristimulus.h"

namespace powderplan {

class NearestRecipe {
 public:
  // At least one colour. Throws Problem (other) where a coordinate is not a number or beyond +-10 000.
  explicit NearestRecipe(std::vector<Lab> colours);
  ~NearestRecipe();
  NearestRecipe(NearestRecipe&&) noexcept;
  NearestRecipe& operator=(NearestRecipe&&) noexcept;

  // For each wanted colour the place of the nearest, the first of several equally near; `nearest` is as long
  // as `wanted`. Throws Problem (other) for the same. On the calling thread; several threads may ask at the
  // same time. Beyond L* -16 to 120 and +-256 in a* and b* every colour is compared with.
  void find(std::span<const Lab> wanted, std::span<std::uint32_t> nearest) const;
  [[nodiscard]] std::size_t nearest(const Lab& wanted) const;
  // The same without cells, for some thousands of wanted colours, which do not pay for making any: outwards
  // from the wanted lightness, until the difference in lightness alone is more than the best found. With the
  // weight of lightness at most most_lightness_weight for mean L* of -10 to 110, CIEDE2000 is at least
  // |dL*| over that: its other terms together are never below 0.
  [[nodiscard]] std::size_t nearest_of_few(const Lab& wanted) const;

  [[nodiscard]] const std::vector<Lab>& colours() const;
  // Bytes of the cells made so far.
  [[nodiscard]] std::size_t bytes_of_cells() const;

 private:
  static constexpr double most_lightness_weight = 1.9;  // S_L of CIE 142-2001
  struct Cells;
  std::unique_ptr<Cells> cells_;
};

// The plain version: every colour compared with in double precision. At least one colour.
std::size_t nearest_of_all(std::span<const Lab> colours, const Lab& wanted);

}  // namespace powderplan
