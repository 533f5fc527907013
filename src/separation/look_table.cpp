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
  const float root = std::exp(log / 3), ratio = root * root * root;
  if (ratio <= foot)
    return {steep * ratio + 4.0F / 29, steep * ratio};
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

LookTable::LookTable(const Painter& painter, const FadedChoice& faded, const std::vector<std::uint8_t>& used,
                     const LookTable* like)
    : labels_(faded.stencils.labels.size()) {
  const std::vector<float> whole(faded.fades.size(), 1.0F);
  for_each_block(labels_.size(), [&](std::size_t i) {
    if (used[i] == 0)
      return;
    Label& label = labels_[i];
    const Tones& tones = faded.stencils.labels[i];
    label.fades = fades_on(faded, tones);
    label.nodes = nodes_along[std::min(label.fades.size(), nodes_along.size() - 1)];
    for (const std::size_t fade : label.fades)
      label.loads.push_back(load_of(faded, fade));
    label.whole = recipe_of(faded, tones, whole);
    if (like != nullptr && i < like->labels_.size()) {
      const Label& other = like->labels_[i];
      if (other.logs && other.fades == label.fades && other.loads == label.loads &&
          other.whole == label.whole) {
        label.logs = other.logs;
        return;
      }
    }
    std::size_t count = 1;
    for (std::size_t k = 0; k < label.fades.size(); ++k)
      count *= static_cast<std::size_t>(label.nodes);
    std::vector<Logs> logs(count);
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
      logs[node] = {static_cast<float>(std::log(std::max(darkest, seen.x / white.x))),
                    static_cast<float>(std::log(std::max(darkest, seen.y / white.y))),
                    static_cast<float>(std::log(std::max(darkest, seen.z / white.z))), 0};
    }
    label.logs = std::make_shared<const std::vector<Logs>>(std::move(logs));
  });
}

LookTable::Look LookTable::look(std::uint16_t label_number, const float* amounts, std::size_t fade) const {
  const Label& label = labels_[label_number];
  // The cell of the lattice; the fade asked for comes last, so that what is left before it are the two ends
  // of its slope.
  std::array<std::size_t, most_fades_in_a_plan> step;
  std::array<float, most_fades_in_a_plan> upper;
  std::size_t base = 0, stride = 1, asked = most_fades_in_a_plan;
  float width = 1;
  const std::size_t n = label.fades.size();
  for (std::size_t k = 0; k < n; ++k) {
    const float amount = std::clamp(amounts[label.fades[k]], 0.0F, 1.0F);
    const auto intervals = static_cast<float>(label.nodes - 1);
    const int below = std::min(static_cast<int>(std::sqrt(amount) * intervals), label.nodes - 2);
    const auto at = static_cast<float>(below);
    // Nodes lie at the squares of even steps.
    const float from = at * at / (intervals * intervals), across = (2 * at + 1) / (intervals * intervals);
    base += stride * static_cast<std::size_t>(below);
    step[k] = stride;
    upper[k] = (amount - from) / across;
    stride *= static_cast<std::size_t>(label.nodes);
    if (label.fades[k] == fade) {
      asked = k;
      width = across;
    }
  }
  if (asked < n) {
    std::swap(step[asked], step[n - 1]);
    std::swap(upper[asked], upper[n - 1]);
  }
  const Logs* const logs = label.logs->data() + base;
  const auto between = [](const Logs& low, const Logs& high, float share) {
    Logs mean;
    for (std::size_t c = 0; c < mean.size(); ++c)
      mean[c] = low[c] + share * (high[c] - low[c]);
    return mean;
  };
  Logs seen = logs[0], slopes{};
  if (n > 0) {
    // The corners of the first so many fades, drawn together along one after the other.
    const auto drawn_together = [&](const auto& self, std::size_t fades, const Logs* corner) -> Logs {
      if (fades == 0)
        return *corner;
      if (fades == 1)
        return between(corner[0], corner[step[0]], upper[0]);
      return between(self(self, fades - 1, corner), self(self, fades - 1, corner + step[fades - 1]),
                     upper[fades - 1]);
    };
    const Logs low = drawn_together(drawn_together, n - 1, logs),
               high = drawn_together(drawn_together, n - 1, logs + step[n - 1]);
    seen = between(low, high, upper[n - 1]);
    for (std::size_t c = 0; c < seen.size(); ++c)
      slopes[c] = (high[c] - low[c]) / width;
  }
  const Root x = root_of(seen[0]), y = root_of(seen[1]), z = root_of(seen[2]);
  Look out;
  out.colour = {116 * y.value - 16, 500 * (x.value - y.value), 200 * (y.value - z.value)};
  if (asked < n) {
    const float dx = x.slope * slopes[0], dy = y.slope * slopes[1], dz = z.slope * slopes[2];
    out.slope = {116 * dy, 500 * (dx - dy), 200 * (dy - dz)};
  }
  return out;
}

}  // namespace powderplan
