// The whole making as one drawn line, the same that the paper has (report/firing_line.h): on which day which
// steps at the bench, then how hot it gets and for how long, and so on.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "report/bench_numbers.h"
#include "report/firing_line.h"
#include "report/worksheet_parts.h"
#include "spoken.h"

namespace powderplan {
namespace {

// Units of the drawing. The temperature runs from `cold` up to `hot`, at the hottest of all firings.
constexpr double width = 1000, cold = 132, hot = 47;
constexpr double step_wide = 27, gap = 10, narrowest_firing = 74;
constexpr double day_wide = 66;  // "Day 10" above the steps

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

double width_of_steps(const FiringStop& stop) {
  return std::max(day_wide, step_wide * static_cast<double>(stop.steps.size()));
}

std::string number(double value) {
  return fmt::format("{:.1f}", value);
}

}  // namespace

PageData timeline(const PlanRecord& record) {
  const std::vector<FiringStop> stops = firing_line(record);
  double all_hours = 0, top = 100, for_steps = 0;
  for (const FiringStop& stop : stops) {
    all_hours += stop.hours;
    top = std::max(top, stop.top.value());
    for_steps += width_of_steps(stop);
  }
  // What steps and gaps leave goes to the kiln, shared by its hours.
  const auto count = static_cast<double>(stops.size());
  const double spare = std::max(0.0, width - for_steps - (2 * gap + narrowest_firing) * count);
  PageData marks(PageData::type::list), kilns(PageData::type::list);
  double x = 0;
  std::string spoken_words;
  for (std::size_t k = 0; k < stops.size(); ++k) {
    const FiringStop& stop = stops[k];
    PageData kiln;
    kiln.set("start", number(x));
    for (std::size_t i = 0; i < stop.steps.size(); ++i) {
      const double left = x + step_wide * static_cast<double>(i);
      PageData mark;
      mark.set("x", number(left));
      mark.set("middle", number(left + (step_wide - 3) / 2));
      mark.set("number", std::to_string(stop.steps[i].number));
      mark.set("done", stop.done);
      marks.push_back(mark);
    }
    x += width_of_steps(stop) + gap;
    const double wide = narrowest_firing + (all_hours > 0 ? spare * stop.hours / all_hours : 0);
    std::string line;
    for (const KilnPoint& point : course_of(record.firing_plan.firings[k].segments)) {
      const double share = stop.hours > 0 ? point.hours / stop.hours : 0;
      const double height = (point.celsius - 20) / std::max(1.0, top - 20);
      line += fmt::format("{}{} {}", line.empty() ? "M" : "L", number(x + share * wide),
                          number(cold - height * (cold - hot)));
    }
    const std::string when = stop.done ? "done" : fmt::format("Day {}", stop.day);
    kiln.set("when", when);
    kiln.set("line", line);
    kiln.set("left", number(x));
    kiln.set("right", number(x + wide));
    kiln.set("middle", number(x + wide / 2));
    kiln.set("number", std::to_string(stop.number));
    kiln.set("finish", stop.finish);
    kiln.set("top", shown(stop.top));
    kiln.set("hours", fmt::format("{:.0f}", std::ceil(stop.hours)));
    kilns.push_back(kiln);
    spoken_words += fmt::format("{}{}: {}, then firing {}", spoken_words.empty() ? "" : "; ", when,
                                counted(stop.steps.size(), "step"), stop.number);
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
