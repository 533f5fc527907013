#include "firing/starting_schedule.h"

#include <algorithm>
#include <cmath>
#include <utility>

namespace powderplan {
namespace {

// Rates that a studio kiln follows, K/h.
constexpr double fastest_up = 350;
constexpr double fastest_down = 150;
constexpr double to_finish = 300;
constexpr double to_annealing = 500;  // the lid stays shut: this is the kiln losing its heat

// Slower than this, the way above the annealing point is worth a leg of its own, K/h.
constexpr double slow_up = 120;

// Air gets out while the powder is still open. In this time at that flow (in radii of a grain) a tenth of the
// air is gone and necks hold the grains.
constexpr double air_hold_min = 20;
constexpr double air_hold_flow = 0.05;

// Held at the finish: wished, and how far it may be moved to make up for whole degrees.
constexpr int finish_hold_min = 10;
constexpr int finish_hold_play = 3;

constexpr double least_annealing_hold = 30;
constexpr Celsius below_strain{50};
constexpr Celsius end_of_program{50};

// Down to a step that is easy to key in, so that no limit is passed; 1 K/h at least.
double rounded_down(double rate) {
  const double step = rate >= 50 ? 10 : rate >= 10 ? 5 : 1;
  return std::max(1.0, std::floor(rate / step) * step);
}

Celsius whole(Celsius t) {
  return Celsius(std::round(t.value()));
}

// The temperature at which a hold alone gives a flow.
Celsius hold_temperature(const ViscosityCurve& curve, Millimetres flow, double minutes) {
  const double pa_s = surface_tension * minutes * 60 / (flow.value() / 1000);
  return curve.temperature_at(std::log10(pa_s));
}

// The place of the finish in `schedule` is `top`: sets its temperature and hold.
void solve_top(Schedule& schedule, std::size_t top, const ViscosityCurve& curve, Millimetres wanted) {
  const Celsius before = schedule[top - 1].to;
  // Only the legs to the top and down from it change.
  const auto of_both = [&] {
    return flow_of(schedule[top], before, curve) + flow_of(schedule[top + 1], schedule[top].to, curve);
  };
  const Millimetres of_the_others = flow_of(schedule, curve) - of_both();
  const auto flow_at = [&](Celsius to, double hold_min) {
    schedule[top].to = to;
    schedule[top].hold_min = hold_min;
    return of_the_others + of_both();
  };
  // The hold alone gives the wanted flow there, so the whole schedule gives more.
  double low = before.value(), high = hold_temperature(curve, wanted, finish_hold_min).value();
  constexpr double exact_enough = 0.01;  // K
  while (high - low > exact_enough) {
    const double middle = (low + high) / 2;
    (flow_at(Celsius(middle), finish_hold_min) < wanted ? low : high) = middle;
  }
  // A kiln takes whole degrees and minutes: of those around, the nearest to the wish; of near ones that with
  // the hold nearest to what it was.
  double best = 1e9;
  std::pair<Celsius, double> chosen{Celsius(high), finish_hold_min};
  for (const int more : {0, 1, -1, 2}) {
    const double degrees = std::floor(low) + more;
    for (int play = -finish_hold_play; play <= finish_hold_play; ++play) {
      if (degrees < before.value())
        continue;
      const double off = std::abs(std::log(flow_at(Celsius(degrees), finish_hold_min + play) / wanted)) +
                         1e-3 * std::abs(play);
      if (off < best) {
        best = off;
        chosen = {Celsius(degrees), finish_hold_min + play};
      }
    }
  }
  flow_at(chosen.first, chosen.second);
}

}  // namespace

Schedule starting_schedule(const GlassConstants& glass, Millimetres thickness, Finish finish,
                           Millimetres reference, HeatedFaces faces) {
  const ViscosityCurve curve(glass);
  const auto within_stress = [&](double mpa) {
    return rate_for_stress(thickness, glass.expansion_per_k, mpa, faces);
  };
  const double up = rounded_down(std::min(fastest_up, within_stress(heating_stress_mpa)));
  const double down = rounded_down(std::min(fastest_down, within_stress(cooling_stress_mpa)));
  const double late = rounded_down(std::min(fastest_down, within_stress(late_cooling_stress_mpa)));
  const double even_min = std::ceil((least_annealing_hold + minutes_to_even_out(thickness, faces)) / 5) * 5;

  const Celsius annealing = whole(glass.annealing);
  const Celsius airing =
      std::max(annealing, whole(hold_temperature(curve, reference / 2 * air_hold_flow, air_hold_min)));
  Schedule schedule;
  if (up < slow_up) {
    schedule.push_back({up, annealing, 0});
    schedule.push_back({to_finish, airing, air_hold_min});
  } else {
    schedule.push_back({up, airing, air_hold_min});
  }
  const std::size_t top = schedule.size();
  schedule.push_back({to_finish, airing, finish_hold_min});
  schedule.push_back({to_annealing, annealing, even_min});
  schedule.push_back({down, std::max(end_of_program, whole(glass.strain - below_strain)), 0});
  schedule.push_back({late, end_of_program, 0});
  solve_top(schedule, top, curve, flow_for(finish, reference));
  return schedule;
}

}  // namespace powderplan
