#include "separation/cost_table.h"

#include "colour/difference.h"
#include "parallel.h"

namespace powderplan {
namespace {

std::vector<CostTable::Row> rows_of(const ColourIndex& index) {
  std::vector<CostTable::Row> rows;
  rows.reserve(index.colours.size());
  for (const WeightedColour& colour : index.colours)
    rows.push_back({colour.lab, 0});
  return rows;
}

}  // namespace

CostTable::CostTable(const ColourIndex& index, const LabelLooks& looks)
    : CostTable(rows_of(index), std::vector<LabelLooks>{looks}) {}

CostTable::CostTable(const std::vector<Row>& rows, const std::vector<LabelLooks>& looks)
    : labels_(looks.front().labs.size()), bare_row_(rows.size()), costs_((rows.size() + 1) * labels_) {
  constexpr std::size_t block = 64;
  for_each_block((rows.size() + block - 1) / block, [&](std::size_t b) {
    for (std::size_t r = b * block; r < std::min(rows.size(), (b + 1) * block); ++r) {
      const LabelLooks& look = looks[rows[r].looks];
      for (std::size_t i = 0; i < labels_; ++i)
        costs_[r * labels_ + i] = static_cast<float>(ciede2000(rows[r].wanted, look.labs[i]) +
                                                     price_of_load * look.loads[i].value() +
                                                     (look.contacts.empty() ? 0 : look.contacts[i]));
    }
  });
  // The first label is bare sheet.
  for (std::size_t i = 1; i < labels_; ++i)
    costs_[bare_row_ * labels_ + i] = cost_on_bare;
}

}  // namespace powderplan
