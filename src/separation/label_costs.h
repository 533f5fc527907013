// What a label costs at a point of a map, where more than the colour wanted there decides.
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "separation/colour_index.h"
#include "separation/colour_metric.h"
#include "separation/cost_table.h"
#include "separation/faded_choice.h"
#include "separation/look_table.h"
#include "separation/pair_price.h"

namespace powderplan {

class LabelCosts {
 public:
  virtual ~LabelCosts() = default;
  [[nodiscard]] virtual float at(std::size_t point, std::uint16_t label) const = 0;
  // The same for points that follow each other in one row, or in whole rows.
  virtual void along(std::size_t point, std::size_t count, const std::uint16_t* labels, float* costs) const {
    for (std::size_t i = 0; i < count; ++i)
      costs[i] = at(point + i, labels[i]);
  }
};

// By the colour wanted alone. Keeps references.
class TableCosts : public LabelCosts {
 public:
  TableCosts(const Image<std::uint16_t>& colour_at, const CostTable& table)
      : colour_at_(colour_at), table_(table) {}
  [[nodiscard]] float at(std::size_t point, std::uint16_t label) const override {
    return table_.row(colour_at_[point])[label];
  }
  void along(std::size_t point, std::size_t count, const std::uint16_t* labels, float* costs) const override {
    for (std::size_t i = 0; i < count; ++i)
      costs[i] = table_.row(colour_at_[point + i])[labels[i]];
  }

 private:
  const Image<std::uint16_t>& colour_at_;
  const CostTable& table_;
};

// With what the fades lay at each point: the difference in the local metric (near CIEDE2000) to the look
// there and the prices of powder and of pairs, as in a cost table. `colour_at` gives the colour wanted at
// each point of a map of this pitch, out of `index`; it must outlive this.
//
// Fades vary slowly, so the looks and prices of all labels are worked out at the nodes of a lattice half as
// wide as that of the fades, and taken as linear between them.
class FadedCosts : public LabelCosts {
 public:
  FadedCosts(const Painter& painter, const FadedChoice& faded, const ColourIndex& index,
             const Image<std::uint16_t>& colour_at, Millimetres pitch, const std::vector<PairPrice>& pairs);
  [[nodiscard]] float at(std::size_t point, std::uint16_t label) const override {
    float cost = 0;
    along(point, 1, &label, &cost);
    return cost;
  }
  void along(std::size_t point, std::size_t count, const std::uint16_t* labels, float* costs) const override;

 private:
  // Of one label at one node: l, a, b, and what its powder and its pairs cost.
  using Node = std::array<float, 4>;
  // How far a point is from the node before it, as a share of the step.
  struct Place {
    std::size_t node = 0;
    float beyond = 0;
  };
  [[nodiscard]] Place place_of(std::size_t x) const {
    return {x / step_, static_cast<float>(x % step_) / static_cast<float>(step_)};
  }
  const Image<std::uint16_t>& colour_at_;
  std::vector<LocalMetric> metrics_;  // by colour
  std::size_t labels_, step_, columns_;
  std::vector<Node> nodes_;    // label by label, node by node, row by row
  std::vector<Place> places_;  // by column of the map
};

}  // namespace powderplan
