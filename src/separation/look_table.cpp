#include "separation/look_table.h"

#include <algorithm>
#include <cmath>

#include "parallel.h"

namespace powderplan {
namespace {

// Nodes along each fade, by the number of fades on a label; the last holds for all beyond.
constexpr std::array<int, 7> nodes_along{1, 17, 12, 8, 5, 4, 3};
constexpr double darkest = 1e-5;

// CIE 15: the cube root of a tristimulus value over the white's, with its straight foot; and its slope by the
// logarithm of that value.
struct Root {
  float value, slope;
};
Root root_of(float log) {
  constexpr float foot = 216.0F / 24389, steep = 841.0F / 108;
  const float ratio = std::exp(log);
  if (ratio <= foot)
    return {steep * ratio + 4.0F / 29, steep * ratio};
  const float root = std::exp(log / 3);
  return {root, root / 3};
}

}  // namespace

int level_of(float amount, int levels) {
  return static_cast<int>(
      std::lround(std::sqrt(std::clamp(amount, 0.0F, 1.0F)) * static_cast<float>(levels - 1)));
}

float amount_of(int level, int levels) {
  if (levels < 2)
    return 1;
  const float root = static_cast<float>(level) / static_cast<float>(levels - 1);
  return root * root;
}

LookTable::LookTable(const Painter& painter, const FadedChoice& faded, const std::vector<std::uint8_t>& used)
    : labels_(faded.stencils.labels.size()) {
  for_each_block(labels_.size(), [&](std::size_t i) {
    if (used[i] == 0)
      return;
    Label& label = labels_[i];
    const Tones& tones = faded.stencils.labels[i];
    label.fades = fades_on(faded, tones);
    label.nodes = nodes_along[std::min(label.fades.size(), nodes_along.size() - 1)];
    std::size_t count = 1;
    for (std::size_t k = 0; k < label.fades.size(); ++k)
      count *= static_cast<std::size_t>(label.nodes);
    label.logs.resize(count);
    std::vector<float> amounts(faded.fades.size(), 0.0F);
    Coats coats;
    for (std::size_t node = 0; node < count; ++node) {
      std::size_t rest = node;
      for (const std::size_t fade : label.fades) {
        amounts[fade] =
            amount_of(static_cast<int>(rest % static_cast<std::size_t>(label.nodes)), label.nodes);
        rest /= static_cast<std::size_t>(label.nodes);
      }
      const Xyz seen = painter.xyz(recipe_of(faded, tones, amounts), coats);
      constexpr Xyz white = white_d65;
      label.logs[node] = {static_cast<float>(std::log(std::max(darkest, seen.x / white.x))),
                          static_cast<float>(std::log(std::max(darkest, seen.y / white.y))),
                          static_cast<float>(std::log(std::max(darkest, seen.z / white.z)))};
    }
  });
}

LookTable::Look LookTable::look(std::uint16_t label_number, const float* amounts, std::size_t fade) const {
  const Label& label = labels_[label_number];
  // The cell of the lattice, its corner shares, and along the fade asked for their slopes.
  std::array<std::size_t, most_fades_in_a_plan> step{};
  std::array<float, most_fades_in_a_plan> upper{}, width{};
  std::size_t base = 0, stride = 1, asked = most_fades_in_a_plan;
  const std::size_t n = label.fades.size();
  for (std::size_t k = 0; k < n; ++k) {
    const float amount = std::clamp(amounts[label.fades[k]], 0.0F, 1.0F);
    const int below =
        std::min(static_cast<int>(std::sqrt(amount) * static_cast<float>(label.nodes - 1)), label.nodes - 2);
    const float from = amount_of(below, label.nodes), to = amount_of(below + 1, label.nodes);
    base += stride * static_cast<std::size_t>(below);
    step[k] = stride;
    width[k] = to - from;
    upper[k] = (amount - from) / width[k];
    stride *= static_cast<std::size_t>(label.nodes);
    if (label.fades[k] == fade)
      asked = k;
  }
  std::array<float, 3> logs{}, slopes{};
  for (std::size_t corner = 0; corner < std::size_t{1} << n; ++corner) {
    std::size_t at = base;
    float share = 1, slope = 1;
    for (std::size_t k = 0; k < n; ++k) {
      const bool high = (corner >> k & 1) != 0;
      at += high ? step[k] : 0;
      const float part = high ? upper[k] : 1 - upper[k];
      share *= part;
      slope *= k == asked ? (high ? 1 : -1) / width[k] : part;
    }
    for (std::size_t c = 0; c < 3; ++c) {
      logs[c] += share * label.logs[at][c];
      slopes[c] += slope * label.logs[at][c];
    }
  }
  const Root x = root_of(logs[0]), y = root_of(logs[1]), z = root_of(logs[2]);
  Look out;
  out.colour = {116 * y.value - 16, 500 * (x.value - y.value), 200 * (y.value - z.value)};
  if (asked < n) {
    const float dx = x.slope * slopes[0], dy = y.slope * slopes[1], dz = z.slope * slopes[2];
    out.slope = {116 * dy, 500 * (dx - dy), 200 * (dy - dz)};
  }
  return out;
}

}  // namespace powderplan
