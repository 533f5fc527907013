#include "firing/piece_thickness.h"

#include <algorithm>
#include <cmath>

#include "parallel.h"

namespace powderplan {
namespace {

// The mean load of a layer in a part of the grid.
Load mean_load(const Layer& layer, int left, int top, int right, int bottom) {
  long sum = 0;
  for (int y = top; y < bottom; ++y) {
    for (int x = left; x < right; ++x)
      sum += layer.amount.at(x, y);
  }
  const int points = (right - left) * (bottom - top);
  return layer.load * (static_cast<double>(sum) / points / whole_amount);
}

// Where squares begin that lie half over each other, the last of them at the end.
std::vector<int> starts_of_squares(int length, int side) {
  const int last = std::max(0, length - side);
  std::vector<int> starts;
  for (int start = 0; start < last; start += std::max(1, side / 2))
    starts.push_back(start);
  starts.push_back(last);
  return starts;
}

}  // namespace

std::vector<Millimetres> thickness_after_firings(std::span<const Layer> layers,
                                                 std::span<const LayerPlace> places, std::size_t firings,
                                                 const Grid& grid, const Sheet& sheet, Density density) {
  const int side = std::max(1, static_cast<int>(std::lround(sheet.thickness / 2 / grid.pitch)));
  const std::vector<int> tops = starts_of_squares(grid.height, side);
  const std::vector<int> lefts = starts_of_squares(grid.width, side);
  std::vector<std::vector<Load>> most_in_row(tops.size(), std::vector<Load>(firings));
  for_each_block(tops.size(), [&](std::size_t row) {
    const int top = tops[row], bottom = std::min(top + side, grid.height);
    std::vector<Load> laid(firings);
    for (const int left : lefts) {
      const int right = std::min(left + side, grid.width);
      std::fill(laid.begin(), laid.end(), Load{});
      for (std::size_t i = 0; i < layers.size(); ++i)
        laid[places[i].firing] += mean_load(layers[i], left, top, right, bottom);
      Load so_far;
      for (std::size_t k = 0; k < firings; ++k) {
        so_far += laid[k];
        most_in_row[row][k] = std::max(most_in_row[row][k], so_far);
      }
    }
  });
  std::vector<Millimetres> thickness;
  for (std::size_t k = 0; k < firings; ++k) {
    Load most;
    for (const std::vector<Load>& row : most_in_row)
      most = std::max(most, row[k]);
    thickness.push_back(sheet.thickness + glass_thickness(most, density));
  }
  return thickness;
}

}  // namespace powderplan
