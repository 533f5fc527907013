// The whole making as one drawn line: steps at the bench, then how hot it gets and for how long, and so on.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "report/bench_numbers.h"
#include "report/stage.h"
#include "report/worksheet_parts.h"
#include "spoken.h"

namespace powderplan {
namespace {

// Units of the drawing. The temperature runs from `cold` up to `hot`, at the hottest of all firings.
constexpr double width = 1000, cold = 132, hot = 44;
constexpr double step_wide = 27, gap = 10, narrowest_firing = 74;

// The temperature in the kiln over the hours, from 20 degrees.
struct KilnPoint {
  double hours = 0, celsius = 20;
};
std::vector<KilnPoint> course_of(const Schedule& segments) {
  std::vector<KilnPoint> course{{}};
  for (const Segment& leg : segments) {
    const KilnPoint from = course.back();
    const double there = from.hours + ramp_hours(leg, Celsius(from.celsius));
    course.push_back({there, leg.to.value()});
    if (leg.hold_min > 0)
      course.push_back({there + leg.hold_min / 60, leg.to.value()});
  }
  return course;
}

std::string number(double value) {
  return fmt::format("{:.1f}", value);
}

}  // namespace

PageData timeline(const PlanRecord& record) {
  const std::vector<Firing>& firings = record.firing_plan.firings;
  double all_hours = 0, top = 100;
  for (std::size_t k = record.firings_done; k < firings.size(); ++k) {
    all_hours += hours_of(firings[k].segments);
    top = std::max(top, top_of(firings[k].segments).value());
  }
  const std::size_t steps = record.layers.size() - layers_done(record);
  const auto left_over = static_cast<double>(firings.size() - record.firings_done);
  // What steps and gaps leave goes to the kiln, shared by its hours.
  const double for_kiln = std::max(left_over * narrowest_firing,
                                   width - step_wide * static_cast<double>(steps) - 2 * gap * left_over);
  const double spare = for_kiln - left_over * narrowest_firing;
  PageData marks(PageData::type::list), kilns(PageData::type::list);
  double x = 0;
  std::string spoken_words;
  for (std::size_t k = record.firings_done; k < firings.size(); ++k) {
    const Firing& firing = firings[k];
    for (const std::size_t layer : firing.layers) {
      PageData mark;
      mark.set("x", number(x));
      mark.set("middle", number(x + (step_wide - 3) / 2));
      mark.set("number", std::to_string(layer + 1));
      marks.push_back(mark);
      x += step_wide;
    }
    x += gap;
    const double hours = hours_of(firing.segments);
    const double wide = narrowest_firing + (all_hours > 0 ? spare * hours / all_hours : 0);
    std::string line;
    for (const KilnPoint& point : course_of(firing.segments)) {
      const double share = hours > 0 ? point.hours / hours : 0;
      const double height = (point.celsius - 20) / std::max(1.0, top - 20);
      line += fmt::format("{}{} {}", line.empty() ? "M" : "L", number(x + share * wide),
                          number(cold - height * (cold - hot)));
    }
    PageData kiln;
    kiln.set("line", line);
    kiln.set("left", number(x));
    kiln.set("right", number(x + wide));
    kiln.set("middle", number(x + wide / 2));
    kiln.set("number", std::to_string(k + 1));
    kiln.set("finish", std::string(name_of(firing.finish)));
    kiln.set("top", shown(top_of(firing.segments)));
    kiln.set("hours", fmt::format("{:.0f}", std::ceil(hours)));
    kilns.push_back(kiln);
    spoken_words += fmt::format("{}{}, then firing {}", spoken_words.empty() ? "" : "; ",
                                counted(firing.layers.size(), "step"), k + 1);
    x += wide + gap;
  }
  PageData data;
  data.set("length", number(std::max(width, x - gap)));
  data.set("marks", marks);
  data.set("kilns", kilns);
  data.set("label", "Order of the work: " + spoken_words);
  return data;
}

}  // namespace powderplan
