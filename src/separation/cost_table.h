// What each label costs at each colour of the picture.
#pragma once

#include <vector>

#include "separation/colour_index.h"
#include "separation/separation.h"

namespace powderplan {

// How all labels look, and what they weigh, in one state of what else lies there.
struct LabelLooks {
  std::vector<Lab> labs;
  std::vector<Load> loads;         // all powder of the label
  std::vector<double> contacts{};  // what its pairs cost (price_of_contacts); empty: nothing
};

// CIEDE2000 between what is wanted and each label, plus a small price for powder so that of two labels that
// look alike the leaner one is taken.
class CostTable {
 public:
  // One row a colour of the index.
  CostTable(const ColourIndex& index, const LabelLooks& looks);
  // Rows of any wanted colour, each with the looks that hold there.
  struct Row {
    Lab wanted;
    std::size_t looks = 0;  // place in the list of looks
  };
  CostTable(const std::vector<Row>& rows, const std::vector<LabelLooks>& looks);

  // Costs of all labels in a row, or at ColourIndex::bare.
  [[nodiscard]] const float* row(std::uint16_t number) const {
    return costs_.data() + (number == ColourIndex::bare ? bare_row_ : number) * labels_;
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
