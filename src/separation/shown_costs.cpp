#include "separation/shown_costs.h"

#include <cmath>

namespace powderplan {
namespace {

constexpr std::size_t shown_levels = 3;
constexpr std::size_t colours_of_index = 2500;

}  // namespace

ShownCosts::ShownCosts(const Painter& painter, const FadedChoice& faded, const Target& target,
                       const Image<LabPixel>& left, const std::vector<float>& shown,
                       const std::vector<PairPrice>& pairs) {
  const std::size_t levels = left.empty() ? 1 : shown_levels;
  indices_.reserve(levels);
  for (std::size_t level = 0; level < levels; ++level) {
    const float share = levels == 1 ? 0 : static_cast<float>(level) / static_cast<float>(levels - 1);
    Image<PackedLab> wanted = target.wanted;
    for (std::size_t i = 0; i < wanted.size() && share > 0; ++i)
      wanted[i] = wanted_below(wanted[i], left[i], share);
    indices_.push_back(index_colours(wanted, target.bare, colours_of_index));
    costs_.push_back(std::make_unique<FadedCosts>(painter, faded, indices_.back(), indices_.back().at,
                                                  target.grid.pitch, pairs));
  }
  for (const float share : shown)
    level_of_.push_back(static_cast<std::size_t>(std::lround(share * static_cast<float>(levels - 1))));
}

}  // namespace powderplan
