// Masks of all kinds to bridges and cut lines.
#include <cmath>

#include "fuzz/target.h"
#include "layers/make_stencil.h"
#include "layers/stencil_judge.h"
#include "separation/width_rule.h"

using namespace powderplan;

// The first bytes are the size, the widths and a seed of costs; the rest is the mask, a bit a point.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  constexpr std::size_t head = 5;
  if (size <= head)
    return 0;
  const int width = 8 + data[0] % 89, height = 8 + data[1] % 89;
  const Grid grid{Millimetres(0.5), width, height};
  StencilRules rules;
  rules.smallest = Millimetres(0.5 * (1 + data[2] % 5));
  rules.bridge = rules.smallest * (data[3] % 2 == 0 ? 1.0 : 1.5);
  rules.hold = Millimetres(5 + data[3] % 80);
  BitMask mask(width, height);
  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      // A short text is repeated, each time a bit further on.
      const std::size_t bit = static_cast<std::size_t>(y) * static_cast<std::size_t>(width) +
                              static_cast<std::size_t>(x),
                        bits = 8 * (size - head), at = (bit + bit / bits) % bits;
      if ((data[head + at / 8] >> (at % 8) & 1) != 0)
        mask.set(x, y);
    }
  }
  Image<float> costs(width, height);
  for (std::size_t i = 0; i < costs.size(); ++i)
    costs[i] = static_cast<float>(static_cast<int>((i * 2654435761U + data[4]) >> 7 & 63) - 8) / 4;
  return fuzz::answered([&] {
    const WidthRule rule(rules.smallest, grid.pitch);
    const BridgedMask bridged = powderplan::bridged(mask, CellCosts(std::move(costs)), grid, rules);
    BitMask beyond = bridged.open;
    fuzz::promise(!beyond.remove(mask).any(), "a stencil is open only where powder is wanted");
    fuzz::promise(loose_points(to_mat(bridged.open)) == 0, "the sheet hangs together");
    fuzz::promise(rule.opened(bridged.open) == bridged.open, "no opening is narrower than the rule");
    fuzz::promise(std::isfinite(bridged.error_cm2), "the cost of bridges is a number");
    const Stencil stencil = make_stencil(bridged, grid, rules);
    fuzz::promise(stencil.openings.empty() == !bridged.open.any(), "what is open has an outline");
  });
}
