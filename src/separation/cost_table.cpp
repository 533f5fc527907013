#include "separation/cost_table.h"

#include "colour/difference.h"
#include "parallel.h"

namespace powderplan {

CostTable::CostTable(const ColourIndex& index, const std::vector<Lab>& labels, const std::vector<Load>& loads)
    : labels_(labels.size()),
      bare_row_(index.colours.size()),
      costs_((index.colours.size() + 1) * labels.size()) {
  constexpr std::size_t block = 64;
  const std::size_t colours = index.colours.size();
  for_each_block((colours + block - 1) / block, [&](std::size_t b) {
    for (std::size_t c = b * block; c < std::min(colours, (b + 1) * block); ++c) {
      for (std::size_t i = 0; i < labels_; ++i)
        costs_[c * labels_ + i] =
            static_cast<float>(ciede2000(index.colours[c].lab, labels[i]) + price_of_load * loads[i].value());
    }
  });
  // The first label is bare sheet.
  for (std::size_t i = 1; i < labels_; ++i)
    costs_[bare_row_ * labels_ + i] = cost_on_bare;
}

}  // namespace powderplan
