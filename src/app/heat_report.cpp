#include "app/heat_report.h"

#include <fmt/format.h>

#include <algorithm>

#include "firing/schedule_check.h"
#include "firing/starting_schedule.h"
#include "optics/finish.h"
#include "optics/levelling.h"
#include "optics/sintering.h"
#include "report/bench_numbers.h"
#include "report/cautions.h"

namespace powderplan {
namespace {

std::string shown_flow(Millimetres flow) {
  const double mm = flow.value();
  return mm < 1e-6 ? "0" : mm < 0.001 ? fmt::format("{:.6f}", mm) : fmt::format("{:.4f}", mm);
}

std::string legs_table(const Schedule& schedule, const ViscosityCurve& curve) {
  std::string text = fmt::format("  {:>3}  {:>9}  {:>6}  {:>9}  {:>9}\n", "leg", "\u00b0C per h",
                                 "to \u00b0C", "hold", "flow mm");
  Celsius from = room_temperature;
  for (std::size_t i = 0; i < schedule.size(); ++i) {
    const Segment& leg = schedule[i];
    text += fmt::format("  {:>3}  {:>9g}  {:>6g}  {:>9}  {:>9}\n", i + 1, leg.rate_c_per_h, leg.to.value(),
                        leg.hold_min > 0 ? shown_minutes(leg.hold_min) : "-",
                        shown_flow(flow_of(leg, from, curve)));
    from = leg.to;
  }
  return text;
}

std::string grains_table(const HeatQuestion& question, Millimetres flow) {
  std::size_t widest = std::string_view("grain").size();
  for (const NamedGrain& grain : question.grains)
    widest = std::max(widest, grain.name.size());
  std::string text = fmt::format("  {:>8}  {:<{}}  {:>6}  {:>7}  {:>8}  {:>7}  {}\n", "grain mm", "", widest,
                                 "fused", "height", "texture", "spread", "reaches");
  for (const NamedGrain& grain : question.grains) {
    const FinishValues values = fired_values(flow, grain.size, question.glass.density);
    text += fmt::format("  {:>8.3f}  {:<{}}  {:>4.0f} %  {:>5.0f} %  {:>6.0f} %  {:>7.2f}  {}\n",
                        grain.size.value(), grain.name, widest, 100 * values.fused,
                        100 * height_left(flow, grain.size), 100 * values.matte, values.spread,
                        reached_in_words(flow, grain.size));
  }
  return text;
}

std::string way_words(const std::optional<LegStress>& stress, const std::string& allowed) {
  return stress ? fmt::format("{:.2f} MPa in leg {} ({})", stress->face_mpa, stress->leg + 1, allowed)
                : "none";
}

std::string warnings(const HeatQuestion& question, const HighestStress& stress) {
  const GlassConstants& glass = question.glass;
  const double limit =
      rate_for_stress(question.thickness, glass.expansion_per_k, cooling_stress_mpa, question.faces);
  std::string text;
  const auto stressed = [&](const std::optional<LegStress>& leg, double most_mpa, std::string_view does,
                            std::string_view way) {
    if (leg && leg->face_mpa > most_mpa)
      text += fmt::format(
          "Warning: leg {} {} faster than {:.0f} \u00b0C per hour; glass {} thick may crack on the way {}.\n",
          leg->leg + 1, does,
          rate_for_stress(question.thickness, glass.expansion_per_k, most_mpa, question.faces),
          shown(question.thickness), way);
  };
  stressed(stress.up, heating_stress_mpa, "heats", "up");
  if (const auto leg = cools_too_fast(question.schedule, glass, limit))
    text += fmt::format(
        "Warning: leg {} cools through the annealing range ({} to {} \u00b0C) at {:g} \u00b0C per hour; more "
        "than {:.0f} leaves stress in glass {} thick.\n",
        *leg + 1, shown(glass.annealing), shown(glass.strain), question.schedule[*leg].rate_c_per_h, limit,
        shown(question.thickness));
  stressed(stress.down, late_cooling_stress_mpa, "cools", "down");
  if (top_of(question.schedule) > glass.annealing && annealing_minutes(question.schedule, glass) <= 0)
    text += fmt::format("Warning: no hold near the annealing point ({} \u00b0C) on the way down.\n",
                        shown(glass.annealing));
  return text;
}

}  // namespace

std::vector<NamedGrain> sieve_grains() {
  return {{"mesh 325", Millimetres(0.045)},
          {"mesh 200", Millimetres(0.075)},
          {"mesh 120", Millimetres(0.125)},
          {"mesh 80", Millimetres(0.180)},
          {"mesh 60", Millimetres(0.250)}};
}

double most_fused(const HeatQuestion& question) {
  const Millimetres flow = flow_of(question.schedule, ViscosityCurve(question.glass));
  double most = 0;
  for (const NamedGrain& grain : question.grains)
    most = std::max(most, fused_share(flow, grain.size));
  return most;
}

std::string heat_report(const HeatQuestion& question) {
  const GlassConstants& glass = question.glass;
  const ViscosityCurve curve(glass);
  const Millimetres flow = flow_of(question.schedule, curve);
  std::string text = fmt::format(
      "Glass: softening {} \u00b0C, annealing {} \u00b0C, strain {} \u00b0C; {} thick, heated through "
      "{}.\n\n",
      shown(glass.softening), shown(glass.annealing), shown(glass.strain), shown(question.thickness),
      question.faces == HeatedFaces::one ? "one face" : "both faces");
  text += legs_table(question.schedule, curve);
  text += fmt::format(
      "\n{} in all, up to {} \u00b0C. Flow {} mm (the time integral of surface tension over viscosity).\n\n",
      shown_minutes(60 * hours_of(question.schedule)), shown(top_of(question.schedule)), shown_flow(flow));
  text += grains_table(question, flow);
  text += fmt::format("\nRelief of {:.0f} mm waves left on this glass: {:.0f} %.\n", relief_wave.value(),
                      100 * relief_left(flow, relief_wave, question.thickness));
  const HighestStress stress = highest_stress(question.schedule, glass, question.thickness, question.faces);
  text += fmt::format(
      "Highest stress on the way up:   {}\n",
      way_words(stress.up, fmt::format("schedules of this program: {:.2f} at most", heating_stress_mpa)));
  text +=
      fmt::format("Highest stress on the way down: {}\n",
                  way_words(stress.down, fmt::format("{:.2f} through the annealing range, {:.2f} below it",
                                                     cooling_stress_mpa, late_cooling_stress_mpa)));
  if (const std::string found = warnings(question, stress); !found.empty())
    text += "\n" + found;
  return text + "\n" + kiln_reminder() + " A kiln burns long after it is switched off.\n";
}

}  // namespace powderplan
