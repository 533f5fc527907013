// consumer PALETTE: prints for each powder what its fired swatch over white is predicted to look like: id
// #rrggbb.
#include <powderplan/colour/observer.h>
#include <powderplan/glass/palette.h>
#include <powderplan/optics/finish.h>
#include <powderplan/optics/swatch.h>
#include <powderplan/problem.h>
#include <powderplan/recipe/painter.h>

#include <cstdio>
#include <fstream>
#include <iostream>
#include <iterator>

namespace pp = powderplan;

int main(int, char** argv) {
  std::ifstream in(argv[1]);
  const std::string toml{std::istreambuf_iterator<char>(in), {}};
  try {
    const pp::Palette palette = pp::parse_palette(toml, argv[1]);
    pp::Ground ground;
    ground.backing = pp::Spectrum::constant(pp::white_ground);
    for (std::size_t i = 0; i < palette.powders.size(); ++i) {
      const pp::Powder& powder = palette.powders[i];
      const pp::Painter painter(palette, ground, pp::flow_for(pp::Finish::full, powder.optics.grain),
                                pp::Observer(pp::daylight(6504)));
      const pp::Rgb8 colour = pp::to_rgb8(pp::to_linear_rgb(painter.xyz({{i, powder.swatch_load}})));
      std::printf("%s #%02x%02x%02x\n", powder.id.c_str(), colour.r, colour.g, colour.b);
    }
    return 0;
  } catch (const pp::Problem& problem) {
    std::cerr << problem.what() << '\n';
    return 1;
  }
}
