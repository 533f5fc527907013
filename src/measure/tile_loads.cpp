#include "measure/tile_loads.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <span>

#include "colour/observer.h"
#include "optics/stack.h"

namespace powderplan {
namespace {

// What lies below the sheet. It hardly matters: the sheets of a tile are opaque.
constexpr double paper = 0.85;

constexpr int samples = 400;

Ground ground_of_sheet(const Sheet& sheet, Density density) {
  return {.view = View::wall,
          .sheet_k = sheet.k,
          .sheet_s = sheet.s,
          .sheet_load = load_of_sheet(sheet.thickness, density),
          .backing = Spectrum::constant(paper)};
}

// The value of `ys` where the rising `xs` reach x.
double between(const std::vector<double>& xs, const std::vector<double>& ys, double x) {
  if (x <= xs.front())
    return ys.front();
  const auto above = std::lower_bound(xs.begin(), xs.end(), x);
  if (above == xs.end())
    return ys.back();
  const auto i = static_cast<std::size_t>(above - xs.begin());
  return ys[i - 1] + (ys[i] - ys[i - 1]) * (x - xs[i - 1]) / (xs[i] - xs[i - 1]);
}

}  // namespace

double lightness_of(const Sheet& sheet, Density density) {
  const Observer see(illuminant_d65());
  return to_lab(see(seen(ground_of_sheet(sheet, density), {}))).l;
}

LightnessWay::LightnessWay(const Powder& powder, const Sheet& light, const Sheet& dark, Density density,
                           Finish finish) {
  const Observer see(illuminant_d65());
  const Millimetres grain = powder.optics.grain;
  const FinishValues fired = fired_values(flow_for(finish, grain), grain, density);
  const Ground grounds[] = {ground_of_sheet(light, density), ground_of_sheet(dark, density)};
  double before[2] = {0, 0}, way = 0;
  for (int i = 0; i <= samples; ++i) {
    // Denser where loads are small: there most powders change most.
    const Load load = deepest * std::pow(static_cast<double>(i) / samples, 3);
    const CoveringLayer layer = covering_layer(powder.optics, load, fired, density);
    for (std::size_t g = 0; g < 2; ++g) {
      const double now =
          to_lab(see(seen(grounds[g], i == 0 ? std::span<const CoveringLayer>() : std::span(&layer, 1)))).l;
      way += i == 0 ? 0 : std::abs(now - before[g]);
      before[g] = now;
    }
    loads_.push_back(load.value());
    ways_.push_back(way);
  }
}

Load LightnessWay::load_at(double way) const {
  return Load(between(ways_, loads_, way));
}

double LightnessWay::way_at(Load load) const {
  return between(loads_, ways_, load.value());
}

Load LightnessWay::last() const {
  return std::min(full_load, load_at(arrived * ways_.back()));
}

std::optional<CellSteps> cell_steps(const LightnessWay& way, std::size_t cells, double area_cm2,
                                    Grams scale) {
  const auto steps_of = [&](Load load) { return load.value() * area_cm2 / scale.value(); };
  const double end = way.way_at(way.last());
  const auto powdered = static_cast<double>(cells - 1);
  CellSteps result;
  result.lightest_wished = steps_of(way.load_at(end / powdered));
  long lightest = std::lround(result.lightest_wished);
  if (lightest < least_steps) {
    lightest = least_steps;
    result.even = false;
  }
  const double begin = result.even
                           ? end / powdered
                           : way.way_at(Load(static_cast<double>(lightest) * scale.value() / area_cm2));
  result.steps = {0, lightest};
  for (std::size_t i = 2; i < cells; ++i) {
    const double share = static_cast<double>(i - 1) / (powdered - 1);
    const long wished = std::lround(steps_of(way.load_at(begin + (end - begin) * share)));
    result.steps.push_back(std::max(wished, result.steps.back() + 1));
  }
  // A cell that had to be pushed beyond the last load, by more than rounding does, has nothing new to show.
  constexpr double rounding = 0.5 + 1e-6;
  if (static_cast<double>(result.steps.back()) > steps_of(way.last()) + rounding)
    return std::nullopt;
  return result;
}

}  // namespace powderplan
