#include "app/heat_command.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <optional>
#include <ostream>

#include "app/heat_report.h"
#include "app/interrupt.h"
#include "app/usual_flags.h"
#include "firing/schedule_file.h"
#include "glass/palette.h"
#include "optics/sintering.h"
#include "plan/flag_answer.h"
#include "problem.h"
#include "report/files.h"
#include "report/whole_file.h"
#include "utf8.h"

namespace powderplan {
namespace {

constexpr Range thicknesses{0.1, 50, "mm"};
constexpr Range grain_sizes{0.005, 2, "mm"};

Segment leg_of(const std::string& said) {
  const FlagAnswer whole("--segment", {said});
  const std::vector<std::string> parts = whole.texts();
  if (parts.size() != 3)
    whole.fail(
        fmt::format("\"{}\" is not three numbers", said),
        "write RATE,TO,HOLD, for 300 \u00b0C per hour to 660 \u00b0C with 10 minutes: --segment 300,660,10");
  const auto number = [&](std::size_t i, Range range) {
    return FlagAnswer(fmt::format("--segment {}", said), {parts[i]}).number(range);
  };
  return {number(0, leg_rates), Celsius(number(1, leg_temperatures)), number(2, leg_holds)};
}

// Where the schedule was written: what messages about the whole of it name.
struct Place {
  ProblemKind kind;
  std::string name;
};

Place place_of(const HeatOptions& options) {
  if (!options.file.empty() && !options.legs.empty())
    throw Problem(ProblemKind::command_line, "--segment", "a schedule file is given too",
                  "say the schedule once: as FILE, or by --segment");
  if (options.file.empty() && options.legs.empty())
    throw Problem(ProblemKind::command_line, "FILE", "no schedule is given",
                  "name its file, or give every leg by --segment RATE,TO,HOLD");
  return options.file.empty() ? Place{ProblemKind::command_line, "--segment"}
                              : Place{ProblemKind::input, options.file.front()};
}

Schedule schedule_of(const HeatOptions& options) {
  if (!options.file.empty())
    return parse_schedule(read_text_file(options.file.front()), options.file.front());
  Schedule schedule;
  for (const std::string& said : options.legs)
    schedule.push_back(leg_of(said));
  return schedule;
}

// The grains of a shelf from fine to coarse, each with the powders that have it.
std::vector<NamedGrain> grains_of(const Palette& palette) {
  constexpr std::size_t most_named = 3;
  std::vector<Millimetres> sizes;
  sizes.reserve(palette.powders.size());
  for (const Powder& powder : palette.powders)
    sizes.push_back(powder.optics.grain);
  std::sort(sizes.begin(), sizes.end());
  sizes.erase(std::unique(sizes.begin(), sizes.end()), sizes.end());
  std::vector<NamedGrain> grains;
  for (const Millimetres size : sizes) {
    std::vector<std::string> ids;
    for (const Powder& powder : palette.powders)
      if (powder.optics.grain == size)
        ids.push_back(powder.id);
    const std::size_t more = ids.size() > most_named ? ids.size() - most_named : 0;
    ids.resize(ids.size() - more);
    grains.push_back(
        {fmt::format("{}{}", fmt::join(ids, ", "), more > 0 ? fmt::format(" and {} more", more) : ""), size});
  }
  return grains;
}

std::vector<NamedGrain> grains_asked(const std::vector<std::string>& said) {
  std::vector<NamedGrain> grains;
  grains.reserve(said.size());
  for (const std::string& one : said)
    grains.push_back({"", Millimetres(FlagAnswer("--grain", {one}).number(grain_sizes))});
  std::sort(grains.begin(), grains.end(),
            [](const NamedGrain& a, const NamedGrain& b) { return a.size < b.size; });
  return grains;
}

HeatedFaces faces_of(const HeatOptions& options) {
  if (options.faces.empty())
    return HeatedFaces::one;
  const FlagAnswer answer("--faces", options.faces);
  if (answer.text() == "one")
    return HeatedFaces::one;
  if (answer.text() == "both")
    return HeatedFaces::both;
  answer.fail(fmt::format("\"{}\" is none of its values", answer.text()),
              "choose one for glass that lies on the shelf, both for glass that stands free");
}

void refuse_if_nothing_melts(const HeatQuestion& question, const Place& place) {
  if (most_fused(question) >= nothing_melts)
    return;
  const Millimetres finest = question.grains.front().size;
  constexpr double minutes = 10;
  const double pa_s = surface_tension * minutes * 60 / (flow_to_fuse(nothing_melts, finest).value() / 1000);
  throw Problem(
      place.kind, place.name,
      fmt::format("this schedule melts nothing: at {:g} \u00b0C even the finest grain, {:g} mm, stays "
                  "loose powder",
                  top_of(question.schedule).value(), finest.value()),
      fmt::format("go higher: {:.0f} \u00b0C for {:g} minutes only just begins to hold it; and write "
                  "degrees Celsius, not Fahrenheit",
                  std::ceil(ViscosityCurve(question.glass).temperature_at(std::log10(pa_s)).value()),
                  minutes));
}

}  // namespace

void run_heat(const HeatOptions& options, const SchedulePlot& draw, std::ostream& out) {
  const Place place = place_of(options);
  std::optional<std::filesystem::path> plot;
  std::optional<FoundPlace> found;
  if (!options.plot.empty()) {
    const FlagAnswer answer("--plot", options.plot);
    plot = answer.file();
    const std::string ending = plot->extension().string();
    if (ending != ".svg" && ending != ".png")
      answer.fail(fmt::format("{} ends neither in .svg nor in .png", plot->string()), "choose another name");
    found.emplace(check_whole_file(*plot, ending, options.replace));
  }
  HeatQuestion question;
  question.faces = faces_of(options);
  if (!options.thickness.empty())
    question.thickness = Millimetres(FlagAnswer("--thickness", options.thickness).number(thicknesses));
  question.schedule = schedule_of(options);
  question.grains = sieve_grains();
  if (!options.palettes.empty()) {
    const Palette palette = shelf_in(options.palettes);
    question.glass = palette.glass;
    question.grains = grains_of(palette);
  }
  if (!options.grains.empty())
    question.grains = grains_asked(options.grains);
  refuse_if_nothing_melts(question, place);

  const std::string report = heat_report(question);
  if (plot) {
    const std::vector<std::uint8_t> bytes =
        draw(question.schedule, question.glass, plot->extension().string());
    const SignalGuard guard;
    write_whole_file(*plot, *found, bytes, SignalGuard::check);
  }
  out << report;
  if (plot)
    out << fmt::format("\nThe plot is in {}.\n", plain_text(plot->string()));
}

}  // namespace powderplan
