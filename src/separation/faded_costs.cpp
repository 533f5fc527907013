#include "separation/faded_costs.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <unordered_map>

#include "parallel.h"
#include "separation/look_table.h"

namespace powderplan {
namespace {

constexpr std::size_t most_rows = 60'000;
constexpr std::size_t most_states = 700;
constexpr int finest_levels = 24;

// The states of all fades together, at the points of a map.
struct States {
  int levels = 1;
  std::vector<std::vector<float>> amounts;  // one share a fade
  Image<std::uint16_t> at;
};

bool found_states(const std::vector<Image<float>>& fields, int levels, States& states) {
  states.levels = levels;
  states.amounts.clear();
  std::unordered_map<std::uint64_t, std::uint16_t> number;
  for (std::size_t i = 0; i < states.at.size(); ++i) {
    std::uint64_t code = 0;
    for (const Image<float>& field : fields)
      code =
          code * static_cast<std::uint64_t>(levels) + static_cast<std::uint64_t>(level_of(field[i], levels));
    const auto [entry, fresh] = number.try_emplace(code, static_cast<std::uint16_t>(states.amounts.size()));
    if (fresh) {
      if (states.amounts.size() == most_states)
        return false;
      std::vector<float> amounts;
      for (const Image<float>& field : fields)
        amounts.push_back(amount_of(level_of(field[i], levels), levels));
      states.amounts.push_back(std::move(amounts));
    }
    states.at[i] = entry->second;
  }
  return true;
}

// The rows for these states; false when there are too many.
bool found_rows(const States& states, const Image<std::uint16_t>& colour_at, const ColourIndex& index,
                Image<std::uint16_t>& row_at, std::vector<CostTable::Row>& rows) {
  rows.clear();
  std::unordered_map<std::uint32_t, std::uint16_t> number;
  for (std::size_t i = 0; i < colour_at.size(); ++i) {
    if (colour_at[i] == ColourIndex::bare) {
      row_at[i] = ColourIndex::bare;
      continue;
    }
    const std::uint32_t code = std::uint32_t{states.at[i]} << 16 | colour_at[i];
    const auto [entry, fresh] = number.try_emplace(code, static_cast<std::uint16_t>(rows.size()));
    if (fresh) {
      if (rows.size() == most_rows)
        return false;
      rows.push_back({index.colours[colour_at[i]].lab, states.at[i]});
    }
    row_at[i] = entry->second;
  }
  return true;
}

// A label's look depends on the fades that lie on it only: each is computed once.
std::vector<LabelLooks> looks_in(const Painter& painter, const FadedChoice& faded, const States& states) {
  const std::vector<Tones>& labels = faded.stencils.labels;
  std::vector<LabelLooks> looks(states.amounts.size());
  for (LabelLooks& look : looks) {
    look.labs.resize(labels.size());
    look.loads.resize(labels.size());
  }
  for_each_block(labels.size(), [&](std::size_t label) {
    const std::vector<std::size_t> on = fades_on(faded, labels[label]);
    std::map<std::vector<float>, std::size_t> done;
    for (std::size_t s = 0; s < looks.size(); ++s) {
      std::vector<float> own;
      for (const std::size_t f : on)
        own.push_back(states.amounts[s][f]);
      const auto [entry, fresh] = done.try_emplace(std::move(own), s);
      if (fresh) {
        const Recipe recipe = recipe_of(faded, labels[label], states.amounts[s]);
        looks[s].labs[label] = painter.lab(recipe);
        looks[s].loads[label] = total_load(recipe);
      } else {
        looks[s].labs[label] = looks[entry->second].labs[label];
        looks[s].loads[label] = looks[entry->second].loads[label];
      }
    }
  });
  return looks;
}

}  // namespace

FadedCosts faded_costs(const Painter& painter, const FadedChoice& faded, const ColourIndex& index,
                       const Image<std::uint16_t>& colour_at, Millimetres pitch) {
  const Grid grid{pitch, colour_at.width(), colour_at.height()};
  std::vector<Image<float>> fields;
  for (const HandLaid& fade : faded.fades)
    fields.push_back(fade.amount.on(grid));
  States states;
  states.at = Image<std::uint16_t>(colour_at.width(), colour_at.height());
  Image<std::uint16_t> row_at(colour_at.width(), colour_at.height());
  std::vector<CostTable::Row> rows;
  int levels = fields.empty() ? 1 : finest_levels;
  while (!found_states(fields, levels, states) || !found_rows(states, colour_at, index, row_at, rows))
    levels = std::max(1, levels - std::max(1, levels / 5));
  return {std::move(row_at), CostTable(rows, looks_in(painter, faded, states))};
}

}  // namespace powderplan
