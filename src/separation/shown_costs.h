// Costs of labels where what lies below is not of the colour that its loads explain.
#pragma once

#include <cstddef>
#include <memory>
#include <vector>

#include "separation/label_costs.h"
#include "separation/target.h"

namespace powderplan {

// What has to be aimed at for the wanted colour to come out, when this share (0..1) of what is off shows
// through.
inline LabPixel wanted_below(const LabPixel& wanted, const LabPixel& off, float shown) {
  return {wanted.l - shown * off.l, wanted.a - shown * off.a, wanted.b - shown * off.b};
}

// As FadedCosts, for a few shares of what is off that may show through, each with its own wanted colours; a
// label goes by the share nearest to its own.
class ShownCosts : public LabelCosts {
 public:
  // `left`: what is off at each point of the target; empty: nothing. `shown`: by label, its share.
  ShownCosts(const Painter& painter, const FadedChoice& faded, const Target& target,
             const Image<LabPixel>& left, const std::vector<float>& shown,
             const std::vector<PairPrice>& pairs);
  [[nodiscard]] float at(std::size_t point, std::uint16_t label) const override {
    return costs_[level_of_[label]]->at(point, label);
  }

 private:
  std::vector<ColourIndex> indices_;
  std::vector<std::unique_ptr<FadedCosts>> costs_;
  std::vector<std::size_t> level_of_;
};

}  // namespace powderplan
