// A large plan with much in it: three powders of four layers each, half of them fades, over wavy outlines as
// a photo has them, on a fine grid.
#pragma once

#include <cmath>

#include "report/fixture.h"

namespace powderplan::fixture {

// Smooth, 0..1, with detail of about a tenth of the piece and finer; another one for each `seed`.
inline double waves(double u, double v, int seed) {
  double sum = 0, weight = 0;
  for (int i = 1; i <= 7; ++i) {
    const double way = 2.4 * i + 1.7 * seed, often = 4.1 * i;
    sum += std::sin(often * (u * std::cos(way) + v * std::sin(way)) + 5.0 * i * seed) / i;
    weight += 0.6 / i;
  }
  return std::clamp(0.5 + 1.1 * sum / weight, 0.0, 1.0);
}

inline PlanRecord record_of_twelve(int width = 900, int height = 600) {
  constexpr std::uint8_t tones = 4;
  PlanRecord plan = record(width, height, Millimetres(0.3), [&](Separation& separation) {
    const auto nest = [](std::size_t powder, double load) {
      return nest_of(powder, {Load(load), Load(load), Load(load), Load(load)});
    };
    separation.choice = {nest(0, 0.08), nest(1, 0.05), nest(2, 0.04)};
    separation.labels.clear();
    for (std::uint8_t a = 0; a <= tones; ++a)
      for (std::uint8_t b = 0; b <= tones; ++b)
        for (std::uint8_t c = 0; c <= tones; ++c)
          separation.labels.push_back({a, b, c});
    const auto tone = [&](double u, double v, int seed) {
      return static_cast<int>(std::lround(tones * waves(u, v, seed)));
    };
    for (int y = 0; y < height; ++y)
      for (int x = 0; x < width; ++x) {
        const double u = static_cast<double>(x) / width, v = static_cast<double>(y) / height;
        separation.label_at.at(x, y) = static_cast<std::uint16_t>(
            (tone(u, v, 1) * (tones + 1) + tone(u, v, 2)) * (tones + 1) + tone(u, v, 3));
      }
    separation.fades.clear();
    const double wide = width * separation.grid.pitch.value(), high = height * separation.grid.pitch.value();
    for (std::size_t n = 0; n < separation.choice.size(); ++n)
      for (std::size_t step = 1; step <= tones; step += 2)
        separation.fades.push_back(
            {n, step, false,
             field_by(separation.grid, spacing_for_edge(Millimetres(8)), [&](double x, double y) {
               return waves(x / wide, y / high, static_cast<int>(4 + n * tones + step));
             })});
  });
  // Grain, as in a photo.
  for (std::size_t i = 0; i < plan.target.size(); ++i) {
    const auto grain = static_cast<int>((i * 2654435761U >> 13) % 25) - 12;
    const auto moved = [&](std::uint8_t code) {
      return static_cast<std::uint8_t>(std::clamp(code + grain, 0, 255));
    };
    plan.target[i] = {moved(plan.target[i].r), moved(plan.target[i].g), moved(plan.target[i].b)};
  }
  return plan;
}

}  // namespace powderplan::fixture
