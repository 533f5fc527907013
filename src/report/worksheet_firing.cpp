#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <string>

#include "report/bench_numbers.h"
#include "report/schedule_plot.h"
#include "report/stage.h"
#include "report/worksheet_parts.h"

namespace powderplan {
namespace {

PageData legs(const Firing& firing) {
  PageData list(PageData::type::list);
  double at = 20;
  for (std::size_t i = 0; i < firing.segments.size(); ++i) {
    const Segment& segment = firing.segments[i];
    const bool free = segment.rate_c_per_h == 0;
    PageData leg;
    leg.set("number", std::to_string(i + 1));
    leg.set("way", std::string(segment.to.value() >= at ? "up" : "down"));
    leg.set("rate", free ? "as fast as it goes" : fmt::format("{:.0f}", std::abs(segment.rate_c_per_h)));
    leg.set("rate_f", free ? "" : fmt::format("{:.0f}", std::abs(segment.rate_c_per_h) * 1.8));
    leg.set("to", shown(segment.to));
    leg.set("to_f", shown_fahrenheit(segment.to));
    leg.set("hold", segment.hold_min > 0 ? shown_minutes(segment.hold_min) : std::string("none"));
    list.push_back(leg);
    at = segment.to.value();
  }
  return list;
}

std::string what_to_expect(Finish finish) {
  switch (finish) {
    case Finish::tack:
      return "The powder holds on to the glass and the grains can still be felt. Dark colours look greyer "
             "than they "
             "will in the end.";
    case Finish::contour:
      return "The grains have run together into a soft relief with a shine; edges are rounded.";
    case Finish::full:
      return "The surface is flat and glossy all over.";
    case Finish::unfired:
      break;
  }
  return "The powder lies as it was sifted.";
}

// Powders of this firing that the same heat leaves at another finish, because their grains are coarser or
// finer than those that the schedule is made for.
std::string other_grains(const PlanRecord& record, std::size_t k) {
  const Firing& firing = record.firing_plan.firings[k];
  std::string text;
  std::set<std::string> done;
  for (const std::size_t i : firing.layers) {
    const Powder& powder = powder_of(record, record.layers[i]);
    const Millimetres grain = powder.optics.grain;
    if (finish_reached(firing.flow, grain) == firing.finish || !done.insert(powder.id).second)
      continue;
    const FinishValues values = values_at(record, i, firing.flow);
    text += fmt::format("{}{} ({:g} mm): {}, {:.0f} % and {:.0f} %", text.empty() ? "Others: " : "; ",
                        powder.name, grain.value(), reached_in_words(firing.flow, grain), 100 * values.fused,
                        100 * values.matte);
  }
  return text.empty() ? text : text + ".";
}

std::string if_not(Finish finish) {
  return finish == Finish::tack ? "Powder that rubs off under a wet finger wants more heat. A surface that "
                                  "has gone flat had too much."
                                : "Grains that still stand up want a longer hold or a little more heat. "
                                  "Edges that drew in or blurred had "
                                  "too much.";
}

}  // namespace

PageData firing_page(const PlanRecord& record, std::size_t k, const std::string& address) {
  const Firing& firing = record.firing_plan.firings[k];
  const bool last = k + 1 == record.firing_plan.firings.size();
  PageData page;
  page.set("number", std::to_string(k + 1));
  page.set("of", std::to_string(record.firing_plan.firings.size()));
  page.set("finish", std::string(name_of(firing.finish)));
  const Celsius top = top_of(firing.segments);
  page.set("top", shown(top));
  page.set("top_f", shown_fahrenheit(top));
  page.set("hours", fmt::format("{:.0f}", std::ceil(hours_of(firing.segments))));
  page.set("thickness", shown(firing.thickness));
  page.set("why", page_text(firing.why));
  page.set("any_why", !firing.why.empty());
  page.set("legs", legs(firing));
  if (!firing.segments.empty())
    page.set("plot", schedule_plot_element(firing.segments, record.palette.glass));
  page.set("expect", what_to_expect(firing.finish));
  page.set("if_not", if_not(firing.finish));
  page.set("fused", fmt::format("{:.0f}", 100 * firing.sintering));
  page.set("rough", fmt::format("{:.0f}", 100 * firing.texture));
  page.set("grain", fmt::format("{:g}", record.limits.reference_grain.value()));
  if (const std::string others = other_grains(record, k); !others.empty())
    page.set("others", page_text(others));
  page.set("last", last);
  page.set("in_panels", !record.panels.panels.empty());
  page.set("panel_count", std::to_string(record.panels.panels.size()));
  page.set("picture", scaled_picture(record, address, fmt::format("firing-{}", k + 1),
                                     fmt::format("The piece after firing {}", k + 1)));
  return page;
}

}  // namespace powderplan
