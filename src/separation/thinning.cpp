#include "separation/thinning.h"

#include <algorithm>
#include <array>
#include <vector>

namespace powderplan {
namespace {

// Neighbours clockwise from north; bit i of a neighbourhood is neighbour i.
constexpr std::array<int, 8> step_x{0, 1, 1, 1, 0, -1, -1, -1};
constexpr std::array<int, 8> step_y{-1, -1, 0, 1, 1, 1, 0, -1};

// Whether a point with these neighbours goes in the pass (0 or 1) of Guo and Hall. Their p2 is north, p3
// north-east and so on round to p9, north-west.
constexpr bool goes(unsigned neighbours, int pass) {
  const auto p = [neighbours](int number) { return (neighbours >> (number - 2) & 1U) != 0; };
  const int crossings = (!p(2) && (p(3) || p(4))) + (!p(4) && (p(5) || p(6))) + (!p(6) && (p(7) || p(8))) +
                        (!p(8) && (p(9) || p(2)));
  if (crossings != 1)
    return false;
  const int one = (p(9) || p(2)) + (p(3) || p(4)) + (p(5) || p(6)) + (p(7) || p(8));
  const int two = (p(2) || p(3)) + (p(4) || p(5)) + (p(6) || p(7)) + (p(8) || p(9));
  const int pairs = std::min(one, two);
  if (pairs < 2 || pairs > 3)
    return false;
  return pass == 0 ? !((p(2) || p(3) || !p(5)) && p(4)) : !((p(6) || p(7) || !p(9)) && p(8));
}

constexpr auto going = [] {
  std::array<std::array<bool, 256>, 2> table{};
  for (int pass = 0; pass < 2; ++pass) {
    for (unsigned n = 0; n < 256; ++n)
      table[static_cast<std::size_t>(pass)][n] = goes(n, pass);
  }
  return table;
}();

}  // namespace

Image<std::uint8_t> thinned(const Image<std::uint8_t>& mask) {
  const int width = mask.width(), height = mask.height();
  // A frame of empty points spares every look at a neighbour the question whether it is there.
  Image<std::uint8_t> framed(width + 2, height + 2);
  std::vector<std::size_t> edge;
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x)
      framed.at(x + 1, y + 1) = mask.at(x, y) != 0 ? 1 : 0;
  }
  std::array<std::ptrdiff_t, 8> offset{};
  for (std::size_t i = 0; i < 8; ++i)
    offset[i] = static_cast<std::ptrdiff_t>(step_y[i]) * (width + 2) + step_x[i];
  const auto neighbours = [&](std::size_t at) {
    unsigned n = 0;
    for (std::size_t i = 0; i < 8; ++i)
      n |= static_cast<unsigned>(framed.data()[static_cast<std::ptrdiff_t>(at) + offset[i]]) << i;
    return n;
  };
  // Only points that have an empty neighbour can go; the others come up when a neighbour of theirs goes.
  Image<std::uint8_t> listed(width + 2, height + 2);
  for (std::size_t at = 0; at < framed.size(); ++at) {
    if (framed[at] != 0 && neighbours(at) != 255) {
      edge.push_back(at);
      listed[at] = 1;
    }
  }
  std::vector<std::size_t> leaving;
  int idle = 0;
  for (int pass = 0; idle < 2; pass = 1 - pass) {
    leaving.clear();
    for (const std::size_t at : edge) {
      if (going[static_cast<std::size_t>(pass)][neighbours(at)])
        leaving.push_back(at);
    }
    idle = leaving.empty() ? idle + 1 : 0;
    for (const std::size_t at : leaving)
      framed[at] = 0;
    for (const std::size_t at : leaving) {
      for (const std::ptrdiff_t step : offset) {
        const auto beside = static_cast<std::size_t>(static_cast<std::ptrdiff_t>(at) + step);
        if (framed[beside] != 0 && listed[beside] == 0) {
          listed[beside] = 1;
          edge.push_back(beside);
        }
      }
    }
    std::erase_if(edge, [&](std::size_t at) { return framed[at] == 0; });
  }
  Image<std::uint8_t> lines(width, height);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x)
      lines.at(x, y) = framed.at(x + 1, y + 1);
  }
  return lines;
}

}  // namespace powderplan
