// A powder as measured, how well that is known, and whether the measurement can be believed at all.
#pragma once

#include <string>
#include <vector>

#include "glass/palette.h"
#include "measure/readings.h"

namespace powderplan {

struct StepResult {
  Load load;
  std::size_t ground = 0;  // place in Readings::grounds
  Lab measured, predicted;
  double de00 = 0;           // between the two
  double left_out_de00 = 0;  // the same, predicted from all steps of other loads
};

struct MeasuredPowder {
  PowderOptics optics;
  std::vector<StepResult> steps;  // as in Readings::steps
  double residual_de00 = 0;       // mean of the steps
  // What to expect of a load between none and the heaviest measured one, mean CIEDE2000. Each load is left
  // out in turn and predicted from the others; the noise of the left-out readings themselves is taken off, as
  // squares, and what the fit has followed of it is the least that is left. The heaviest counts half, because
  // only on one side of it lie loads that are meant. Where there are too few loads to leave one out: the
  // noise, which on made-up glasses was the more; of one load, `one_load_de00`.
  double expected_de00 = 0;
  bool left_out = false;  // whether there were enough
  std::vector<std::string> notes;
};

// With fewer loads than this none can be left out.
inline constexpr std::size_t least_loads_to_leave_out = 4;
// One load over two grounds says no more than the two colours of a swatch. Made-up glasses of which one load
// was known were off by 1.1 to 2.1 in the mean and by 2.6 to 4.3 at the 95th percentile.
inline constexpr double one_load_de00 = unmeasured_de00;
// A lighter or heavier step may go back by so much of the way that the steps before went, in L* of X, Y or Z
// on its own. Readings with a standard deviation of 1 go back so far once in a thousand steps.
inline constexpr double most_step_back = 5.0;
// Steps that the fitted powder misses by more, in the mean, are not those of one powder on these grounds.
inline constexpr double impossible_tile_de00 = 4.0;

// Fits the powder, once as Kubelka-Munk has it and once with a load curve; the curve is kept when it predicts
// loads that it has not seen clearly better. Throws Problem (input), its place `file`: too few steps, steps
// that go back and forth, steps that no one powder can have.
MeasuredPowder measure_powder(const Readings& readings, const std::string& file);

}  // namespace powderplan
