// What a label costs at a point of a map, where more than the colour wanted there decides.
#pragma once

#include <cstdint>
#include <vector>

#include "separation/colour_index.h"
#include "separation/cost_table.h"
#include "separation/faded_choice.h"
#include "separation/look_table.h"
#include "separation/pair_price.h"

namespace powderplan {

class LabelCosts {
 public:
  virtual ~LabelCosts() = default;
  [[nodiscard]] virtual float at(std::size_t point, std::uint16_t label) const = 0;
};

// By the colour wanted alone. Keeps references.
class TableCosts : public LabelCosts {
 public:
  TableCosts(const Image<std::uint16_t>& colour_at, const CostTable& table)
      : colour_at_(colour_at), table_(table) {}
  [[nodiscard]] float at(std::size_t point, std::uint16_t label) const override {
    return table_.row(colour_at_[point])[label];
  }

 private:
  const Image<std::uint16_t>& colour_at_;
  const CostTable& table_;
};

// With what the fades lay at each point: CIEDE2000 to the look there and the prices of powder and of pairs,
// as in a cost table. `colour_at` gives the colour wanted at each point of a map of this pitch, out of
// `index`; both must outlive this.
class FadedCosts : public LabelCosts {
 public:
  FadedCosts(const Painter& painter, const FadedChoice& faded, const ColourIndex& index,
             const Image<std::uint16_t>& colour_at, Millimetres pitch, const std::vector<PairPrice>& pairs);
  [[nodiscard]] float at(std::size_t point, std::uint16_t label) const override;

 private:
  struct Label {
    float load = 0;                                    // of its even coats
    std::vector<std::pair<std::size_t, float>> fades;  // on it, with their loads
    // What its pairs cost where those of its fades are there whose bits are set; empty: nothing anywhere.
    std::vector<float> contacts;
  };
  const ColourIndex& index_;
  const Image<std::uint16_t>& colour_at_;
  std::size_t fades_;
  LookTable looks_;
  std::vector<Label> labels_;
  std::vector<std::uint8_t> amounts_;  // point by point, in 255ths
};

}  // namespace powderplan
