#include "report/expected_error.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "colour/difference.h"
#include "colour/observer.h"
#include "optics/swatch.h"
#include "parallel.h"
#include "report/stage.h"

namespace powderplan {
namespace {

constexpr double most_factor = 4;
constexpr int halvings = 24;
constexpr double points_along = 110;

PowderOptics changed(const PowderOptics& powder, double factor) {
  PowderOptics other = powder;
  other.k *= factor;
  other.s *= 1 / factor;
  return other;
}

// How much the swatch of a powder changes when its coefficients do: mean over white and black.
double swatch_change(const Powder& powder, double factor, const Observer& see, Density density) {
  const Millimetres flow = flow_for(Finish::full, powder.optics.grain);
  double sum = 0;
  for (const double backing : {white_ground, black_ground}) {
    Ground ground;
    ground.backing = Spectrum::constant(backing);
    const auto look = [&](const PowderOptics& optics) {
      return to_lab(
          see(seen(ground, std::array{covering_layer(optics, powder.swatch_load,
                                                     fired_values(flow, optics, density), density)})));
    };
    sum += ciede2000(look(powder.optics), look(changed(powder.optics, factor)));
  }
  return sum / 2;
}

double factor_for(const Powder& powder, const Observer& see, Density density) {
  double low = 1, high = most_factor;
  for (int i = 0; i < halvings; ++i) {
    const double middle = std::sqrt(low * high);
    (swatch_change(powder, middle, see, density) < powder.expected_de00 ? low : high) = middle;
  }
  return low;
}

}  // namespace

Image<float> expected_errors(const PlanRecord& record, const Grid& coarse) {
  const Observer observer(light_of(record));
  const Observer daylight(illuminant_d65());
  const Stack bare(ground_of(record, record.view));
  const Moment moment = moment_finished(record);
  const Grid& fine = record.separation.grid;
  const auto looks = [&](const PlanRecord& of) {
    Image<Lab> labs(coarse.width, coarse.height);
    const std::vector<LayerThen> layers = layers_at(of, moment);
    for_each_row_band(coarse.height, [&](int begin, int end) {
      Coats made;
      const auto width = static_cast<std::size_t>(coarse.width);
      for (std::size_t i = static_cast<std::size_t>(begin) * width; i < static_cast<std::size_t>(end) * width;
           ++i)
        labs[i] = to_lab(
            observer(seen(bare, stack_at(of, record.spots.at()[middle_of(i, coarse, fine)], layers, made))));
    });
    return labs;
  };
  PlanRecord other = light_copy(record);
  const Image<Lab> planned = looks(other);
  std::vector<double> squares(planned.size(), 0);
  std::vector<std::size_t> powders;
  for (const Layer& layer : record.layers)
    if (std::find(powders.begin(), powders.end(), layer.powder) == powders.end())
      powders.push_back(layer.powder);
  for (const std::size_t powder : powders) {
    const Powder& known = record.palette.powders[powder];
    const double factor = factor_for(known, daylight, record.palette.glass.density);
    other.palette.powders[powder].optics = changed(known.optics, factor);
    const Image<Lab> off = looks(other);
    other.palette.powders[powder].optics = known.optics;
    for (std::size_t i = 0; i < off.size(); ++i)
      squares[i] += std::pow(ciede2000(planned[i], off[i]), 2);
  }
  Image<float> errors(coarse.width, coarse.height);
  for (std::size_t i = 0; i < errors.size(); ++i)
    errors[i] = static_cast<float>(std::sqrt(squares[i]));
  return errors;
}

void expect_errors(PlanRecord& record) {
  const Grid& grid = record.separation.grid;
  const Millimetres pitch = std::max(grid.pitch, std::max(record.width, record.height) / points_along);
  const Grid coarse{pitch, std::max(1, static_cast<int>(std::lround(record.width / pitch))),
                    std::max(1, static_cast<int>(std::lround(record.height / pitch)))};
  const Image<float> errors = expected_errors(record, coarse);
  double all = 0;
  for (std::size_t i = 0; i < errors.size(); ++i)
    all += static_cast<double>(errors[i]);
  record.fidelity.expected_de00 = all / static_cast<double>(errors.size());
  for_each_block(record.layers.size(), [&](std::size_t at) {
    Layer& layer = record.layers[at];
    const Image<std::int32_t> region_at = regions_at(layer);
    std::vector<double> sums(layer.regions.size() + 1, 0), points(layer.regions.size() + 1, 0);
    for (std::size_t i = 0; i < errors.size(); ++i) {
      const auto region = static_cast<std::size_t>(region_at[middle_of(i, coarse, grid)]);
      sums[region] += static_cast<double>(errors[i]);
      points[region] += 1;
    }
    double sum = 0, count = 0;
    for (std::size_t r = 1; r < sums.size(); ++r) {
      sum += sums[r];
      count += points[r];
    }
    layer.expected_de00 = count > 0 ? sum / count : record.fidelity.expected_de00;
    for (std::size_t r = 1; r < sums.size(); ++r)
      layer.regions[r - 1].expected_de00 = points[r] > 0 ? sums[r] / points[r] : layer.expected_de00;
  });
}

}  // namespace powderplan
