#include "separation/look_table.h"

#include <algorithm>
#include <cmath>

#include "parallel.h"

namespace powderplan {
namespace {

constexpr int most_nodes_along = 17;

void add(LabPixel& sum, const LabPixel& colour, float share) {
  sum.l += colour.l * share;
  sum.a += colour.a * share;
  sum.b += colour.b * share;
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

LookTable::LookTable(const Painter& painter, const FadedChoice& faded, const std::vector<std::uint8_t>& used,
                     std::size_t most_nodes)
    : labels_(faded.stencils.labels.size()) {
  for_each_block(labels_.size(), [&](std::size_t i) {
    if (used[i] == 0)
      return;
    Label& label = labels_[i];
    const Tones& tones = faded.stencils.labels[i];
    label.fades = fades_on(faded, tones);
    if (!label.fades.empty())
      label.nodes = std::clamp(static_cast<int>(std::pow(static_cast<double>(most_nodes),
                                                         1.0 / static_cast<double>(label.fades.size())) +
                                                1e-9),
                               2, most_nodes_along);
    std::size_t count = 1;
    for (std::size_t k = 0; k < label.fades.size(); ++k)
      count *= static_cast<std::size_t>(label.nodes);
    label.colours.resize(count);
    std::vector<float> amounts(faded.fades.size(), 0.0F);
    for (std::size_t node = 0; node < count; ++node) {
      std::size_t rest = node;
      for (const std::size_t fade : label.fades) {
        amounts[fade] =
            amount_of(static_cast<int>(rest % static_cast<std::size_t>(label.nodes)), label.nodes);
        rest /= static_cast<std::size_t>(label.nodes);
      }
      label.colours[node] = to_pixel(painter.lab(recipe_of(faded, tones, amounts)));
    }
  });
}

LookTable::Look LookTable::look(std::uint16_t label_number, const float* amounts, std::size_t fade) const {
  const Label& label = labels_[label_number];
  // The cell of the lattice, its corner shares, and along the fade asked for their slopes.
  constexpr std::size_t most_fades = 16;
  std::array<std::size_t, most_fades> step{};
  std::array<float, most_fades> upper{}, width{};
  std::size_t base = 0, stride = 1, asked = most_fades;
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
  Look out;
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
    add(out.colour, label.colours[at], share);
    if (asked < n)
      add(out.slope, label.colours[at], slope);
  }
  return out;
}

}  // namespace powderplan
