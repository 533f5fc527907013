// What each label costs at each colour of the picture.
#pragma once

#include <vector>

#include "separation/colour_index.h"
#include "separation/separation.h"

namespace powderplan {

// CIEDE2000 between each of the picture's colours and each label, plus a small price for powder so that of
// two labels that look alike the leaner one is taken.
class CostTable {
 public:
  // `loads` is the total load of each label.
  CostTable(const ColourIndex& index, const std::vector<Lab>& labels, const std::vector<Load>& loads);
  // Costs of all labels at a colour of the index, or at ColourIndex::bare.
  [[nodiscard]] const float* row(std::uint16_t colour) const {
    return costs_.data() + (colour == ColourIndex::bare ? bare_row_ : colour) * labels_;
  }
  [[nodiscard]] std::size_t labels() const { return labels_; }

 private:
  std::size_t labels_;
  std::size_t bare_row_;
  std::vector<float> costs_;
};

// Price of powder in units of colour difference per g/cm2: a full load must gain 0.3.
inline constexpr double price_of_load = 0.4;
// Cost of powder where bare sheet is wanted.
inline constexpr float cost_on_bare = 30.0F;

}  // namespace powderplan
