// Palette files: TOML to powders and sheets whose colours are numbers.
#include "glass/palette.h"

#include <algorithm>
#include <cmath>

#include "colour/observer.h"
#include "fuzz/target.h"
#include "recipe/painter.h"

using namespace powderplan;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  return fuzz::answered([&] {
    const Palette palette = parse_palette(fuzz::text_of(data, size), "shelf.toml");
    fuzz::promise(!palette.powders.empty() && !palette.sheets.empty(), "a palette has powders and sheets");
    static const Observer observer(illuminant_d65());
    constexpr std::size_t most_looked_at = 3;
    for (std::size_t i = 0; i < std::min(palette.powders.size(), most_looked_at); ++i) {
      const Painter painter(
          palette, ground_of(palette.sheets[0], palette.glass.density, View::wall, Spectrum::constant(0.9)),
          Millimetres(0.05), observer);
      const Lab lab = painter.lab({{i, full_load * 0.3}});
      fuzz::promise(std::isfinite(lab.l) && std::isfinite(lab.a) && std::isfinite(lab.b),
                    "a powder of a palette that is taken has a colour");
    }
  });
}
