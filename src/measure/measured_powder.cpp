#include "measure/measured_powder.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "colour/difference.h"
#include "colour/observer.h"
#include "measure/fit_powder.h"
#include "parallel.h"
#include "problem.h"

namespace powderplan {
namespace {

// A curve must predict better by so much, as a share and in CIEDE2000, to be worth its numbers.
constexpr double clearly_better = 0.85, clearly_less = 0.05;
// From here on the user is told how badly the steps fit.
constexpr double poor_fit_de00 = 1.5;

using Lightnesses = std::array<double, 3>;

// L* of X, Y and Z, each against that of white.
Lightnesses lightnesses(const StepReading& step) {
  const Xyz colour = to_xyz(measured_lab(step));
  const auto one = [](double share) { return to_lab(Xyz{share, share, share}, Xyz{1, 1, 1}).l; };
  return {one(colour.x / white_d65.x), one(colour.y), one(colour.z / white_d65.z)};
}

std::string named(const Readings& readings, const StepReading& step) {
  return fmt::format("{:.3f} g/cm2 on the {} ground", step.load.value(), readings.grounds[step.ground].name);
}

[[noreturn]] void refuse(const std::string& file, std::string wrong, std::string remedy) {
  throw Problem(ProblemKind::input, file, std::move(wrong), std::move(remedy));
}

// In every band a layer goes from its ground's reflectance towards that of the powder and never back. So do
// the tristimulus values, where most bands go one way; they may stand still.
void refuse_back_and_forth(const Readings& readings, const std::string& file) {
  for (std::size_t ground = 0; ground < readings.grounds.size(); ++ground) {
    std::vector<const StepReading*> steps;
    for (const StepReading& step : readings.steps)
      if (step.ground == ground)
        steps.push_back(&step);
    std::sort(steps.begin(), steps.end(),
              [](const StepReading* a, const StepReading* b) { return a->load < b->load; });
    for (std::size_t c = 0; c < 3 && steps.size() > 2; ++c) {
      const double way = lightnesses(*steps.back())[c] - lightnesses(*steps.front())[c];
      for (std::size_t i = 1; i < steps.size(); ++i) {
        const double before = lightnesses(*steps[i - 1])[c], now = lightnesses(*steps[i])[c];
        if ((now - before) * (way < 0 ? -1 : 1) >= -most_step_back)
          continue;
        refuse(
            file,
            fmt::format("the steps go back and forth: {} is {} than {:.3f} g/cm2 there",
                        named(readings, *steps[i]), now > before ? "lighter" : "darker",
                        steps[i - 1]->load.value()),
            "check that the cells are in their order, that the tile is not turned round, and that no glare "
            "lies on them; if two cells were sifted in each other's place, give their real grams");
      }
    }
  }
}

// Opaque grounds with steps on them, far enough apart to tell what a layer lets through from what it sends
// back.
bool has_light_and_dark(const Readings& readings) {
  constexpr double apart = 0.3;
  double lightest = 0, darkest = 1;
  for (const StepReading& step : readings.steps) {
    const Ground& ground = readings.grounds[step.ground].ground;
    if (ground.view != View::wall || step.load <= Load(0))
      continue;
    double middle = 0;
    for (const double share : bare_sheet(ground).reflect)
      middle += share / static_cast<double>(band_count);
    lightest = std::max(lightest, middle);
    darkest = std::min(darkest, middle);
  }
  return lightest - darkest >= apart;
}

// Of each step, predicted from the steps of other loads; empty when there are too few.
std::vector<double> left_out(const Readings& readings, const FitRules& rules) {
  const std::vector<Load> loads = loads_of(readings);
  if (loads.size() < least_loads_to_leave_out)
    return {};
  std::vector<double> errors(readings.steps.size());
  for_each_block(loads.size(), [&](std::size_t block) {
    Readings others = readings;
    std::erase_if(others.steps, [&](const StepReading& step) { return step.load == loads[block]; });
    const PowderFit fit = fit_powder(others, rules);
    for (std::size_t i = 0; i < readings.steps.size(); ++i) {
      const StepReading& step = readings.steps[i];
      if (step.load == loads[block])
        errors[i] = ciede2000(measured_lab(step), lab_of(look_of(fit.optics, readings, step)));
    }
  });
  return errors;
}

struct LeftOut {
  double mean = 0, mean_square = 0;
};

// Of the errors of left-out steps, the heaviest load's at half their weight.
LeftOut summed_up(const Readings& readings, const std::vector<double>& errors) {
  const Load heaviest = loads_of(readings).back();
  LeftOut sum;
  double weights = 0;
  for (std::size_t i = 0; i < errors.size(); ++i) {
    const double weight = readings.steps[i].load == heaviest ? 0.5 : 1.0;
    weights += weight;
    sum.mean += weight * errors[i];
    sum.mean_square += weight * errors[i] * errors[i];
  }
  return {sum.mean / weights, sum.mean_square / weights};
}

// The mean without the readings' noise, as the header says.
double expected_of(const LeftOut& left_out, double noise, double followed) {
  const double own = std::max(left_out.mean_square - noise * noise, followed * followed);
  return left_out.mean * std::sqrt(own / left_out.mean_square);
}

}  // namespace

MeasuredPowder measure_powder(const Readings& readings, const std::string& file) {
  const auto with_powder = std::count_if(readings.steps.begin(), readings.steps.end(),
                                         [](const StepReading& step) { return step.load > Load(0); });
  constexpr long least_steps = 2;
  if (with_powder < least_steps)
    refuse(file, fmt::format("{} of a load above 0", with_powder == 0 ? "no step" : "only one step"),
           "absorption and scattering cannot be told apart by fewer than two: one load over a light and a "
           "dark ground, or several loads");
  refuse_back_and_forth(readings, file);

  PowderFit fit = fit_powder(readings);
  std::vector<double> apart = left_out(readings, {});
  double expected = loads_of(readings).size() == 1 ? std::max(one_load_de00, fit.mean_de00) : fit.noise_de00;
  if (!apart.empty()) {
    // What even a curve cannot follow is taken for the readings' noise.
    const PowderFit with_curve = fit_powder(readings, {.with_curve = true});
    std::vector<double> apart_with_curve = left_out(readings, {.with_curve = true});
    const LeftOut plain = summed_up(readings, apart), curved = summed_up(readings, apart_with_curve);
    if (curved.mean < clearly_better * plain.mean && curved.mean < plain.mean - clearly_less) {
      expected = expected_of(curved, with_curve.noise_de00, with_curve.followed_de00);
      fit = with_curve;
      apart = std::move(apart_with_curve);
    } else {
      expected = expected_of(plain, with_curve.noise_de00, fit.followed_de00);
    }
  }
  MeasuredPowder measured;
  measured.optics = fit.optics;
  measured.residual_de00 = fit.mean_de00;
  measured.left_out = !apart.empty();
  measured.expected_de00 = expected;
  for (std::size_t i = 0; i < readings.steps.size(); ++i) {
    const StepReading& step = readings.steps[i];
    measured.steps.push_back({step.load, step.ground, measured_lab(step),
                              lab_of(look_of(fit.optics, readings, step)), fit.step_de00[i],
                              measured.left_out ? apart[i] : fit.step_de00[i]});
  }
  const auto worst = std::max_element(fit.step_de00.begin(), fit.step_de00.end());
  const std::string at =
      named(readings, readings.steps[static_cast<std::size_t>(worst - fit.step_de00.begin())]);
  if (fit.mean_de00 > impossible_tile_de00)
    refuse(file,
           fmt::format("no powder looks like this on these grounds: the nearest misses the steps by {:.1f} "
                       "(CIEDE2000) in the mean, most at {}",
                       fit.mean_de00, at),
           "check the powder, the grams, the order of the cells and the finish that the tile was fired to");
  if (fit.mean_de00 > poor_fit_de00)
    measured.notes.push_back(fmt::format(
        "the steps fit one powder only to {:.1f} (CIEDE2000), worst at {}: check its grams, and that neither "
        "glare nor dirt lies there",
        fit.mean_de00, at));
  if (!has_light_and_dark(readings))
    measured.notes.emplace_back(
        "there are not both a light and a dark ground, so absorption and scattering are hardly told apart: "
        "do "
        "not rely on it over other grounds than these");
  if (!measured.left_out)
    measured.notes.push_back(fmt::format(
        "fewer than {} loads: how well others are predicted could not be tried", least_loads_to_leave_out));
  return measured;
}

}  // namespace powderplan
