#include "app/fit_command.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <optional>
#include <ostream>

#include "app/fit_sources.h"
#include "app/interrupt.h"
#include "app/photo_flags.h"
#include "app/usual_flags.h"
#include "glass/palette.h"
#include "glass/palette_edit.h"
#include "measure/palette_entry.h"
#include "plan/flag_answer.h"
#include "problem.h"
#include "report/files.h"
#include "report/folder_lock.h"
#include "report/kept_file.h"
#include "report/whole_file.h"
#include "utf8.h"

namespace powderplan {
namespace {

std::string hex_of(const Lab& colour) {
  return to_hex(to_rgb8(to_linear_rgb(to_xyz(colour))));
}

std::string toml_of(const std::vector<KeyEdit>& entry) {
  std::string text;
  for (const KeyEdit& edit : entry)
    if (edit.value)
      text += fmt::format("{} = {}\n", edit.key, *edit.value);
  return text;
}

// All that is to stand in the palette of it; of a powder that is there already, what the fit found.
std::vector<KeyEdit> whole_entry(const FitSource& source, const MeasuredPowder& measured) {
  std::vector<KeyEdit> entry = palette_entry(measured);
  if (!source.added)
    return entry;
  std::erase_if(entry, [](const KeyEdit& edit) { return !edit.value; });
  entry.insert(entry.begin(), {{"id", toml_value(source.id)},
                               {"body", toml_value(std::string(name_of(source.added->body)))},
                               {"grain_mm", toml_value(source.added->grain.value())}});
  return entry;
}

std::string updated(std::string text, const std::string& file, const std::vector<FitSource>& sources,
                    const std::vector<FittedPowder>& fitted) {
  std::vector<PowderEdit> edits;
  for (std::size_t i = 0; i < sources.size(); ++i) {
    const std::vector<KeyEdit> entry = whole_entry(sources[i], fitted[i].measured);
    if (sources[i].added)
      text = add_powder(text, file, entry);
    else
      edits.push_back({sources[i].id, entry});
  }
  return edits.empty() ? text : edit_powders(text, file, edits);
}

// A fault of the readings is one of the command line where they were typed there.
MeasuredPowder measured(const FitSource& source, bool typed) {
  try {
    return measure_powder(source.readings, source.place);
  } catch (const Problem& problem) {
    if (!typed)
      throw;
    throw Problem(ProblemKind::command_line, problem.place(), problem.wrong(), problem.remedy());
  }
}

}  // namespace

std::string fit_table(const FittedPowder& powder) {
  const MeasuredPowder& measured = powder.measured;
  std::size_t width = std::string_view("ground").size();
  for (const MeasuredGround& ground : powder.readings.grounds)
    width = std::max(width, ground.name.size());
  std::string text = fmt::format("{}\n  {}\n\n", powder.name, powder.source);
  text += fmt::format("  {:>10}  {:<{}}  {:<8}  {:<9}  {:>10}", "load g/cm2", "ground", width, "measured",
                      "predicted", "difference");
  text += measured.left_out ? "  left out\n" : "\n";
  std::vector<const StepResult*> steps;
  for (const StepResult& step : measured.steps)
    steps.push_back(&step);
  std::stable_sort(steps.begin(), steps.end(), [](const StepResult* a, const StepResult* b) {
    return a->ground != b->ground ? a->ground < b->ground : a->load < b->load;
  });
  for (const StepResult* step : steps) {
    text += fmt::format("  {:>10.4f}  {:<{}}  {:<8}  {:<9}  {:>10.2f}", step->load.value(),
                        powder.readings.grounds[step->ground].name, width, hex_of(step->measured),
                        hex_of(step->predicted), step->de00);
    text += measured.left_out ? fmt::format("  {:>8.2f}\n", step->left_out_de00) : "\n";
  }
  text += fmt::format(
      "\nMean difference {:.2f} (CIEDE2000). To be expected of loads that were not measured: {:.2f}",
      measured.residual_de00, measured.expected_de00);
  text += measured.left_out
              ? ",\nthe noise of the readings taken off. Left out: the difference when all steps of "
                "that load are predicted\nfrom the others.\n"
              : ".\n";
  for (const std::string& note : measured.notes)
    text += fmt::format("Note: {}.\n", note);
  return text;
}

void run_fit(const FitOptions& options, std::ostream& out) {
  need(options.palette, "--palette", "name the file of your shelf");
  const std::filesystem::path file = FlagAnswer("--palette", options.palette).file();
  std::optional<std::filesystem::path> chart;
  std::optional<FoundPlace> found;
  if (!options.chart.empty()) {
    chart = FlagAnswer("--chart", options.chart).file();
    found.emplace(check_whole_file(*chart, ".png", options.replace));
  } else if (options.replace) {
    throw Problem(ProblemKind::command_line, "--replace", "there is no chart to replace",
                  "leave it out; --update keeps the old palette by itself");
  }
  const Palette palette = parse_palette(read_text_file(file), file.string());
  if (options.update)
    check_can_replace(file);

  const FitSources sources = fit_sources(options, palette, file.string());
  std::vector<FittedPowder> fitted;
  for (const FitSource& source : sources.powders) {
    const Powder* known = palette.find_powder(source.id);
    const std::string name = known == nullptr || known->name == source.id
                                 ? source.id
                                 : fmt::format("{} ({})", known->name, source.id);
    fitted.push_back({name, source.words, source.readings, measured(source, !options.swatches.empty())});
  }

  std::optional<std::filesystem::path> kept;
  {
    const std::vector<std::uint8_t> png = chart ? fit_chart_png(fitted) : std::vector<std::uint8_t>{};
    const SignalGuard guard;
    std::optional<WholeFile> drawn;
    if (chart)
      drawn.emplace(*chart, png);
    std::vector<std::filesystem::path> written;
    if (chart)
      written.push_back(*chart);
    if (options.update)
      written.push_back(file);
    const FolderLocks locks(written);
    // Both or neither.
    const auto put_chart = [&] {
      SignalGuard::check();
      if (drawn)
        drawn->put(*found);
    };
    if (options.update) {
      const std::vector<std::uint8_t> before = read_file(file, most_text_bytes);
      const std::string text =
          updated({before.begin(), before.end()}, file.string(), sources.powders, fitted);
      kept = replace_keeping(file, before, {text.begin(), text.end()}, put_chart);
    } else {
      put_chart();
    }
  }

  for (std::size_t i = 0; i < fitted.size(); ++i) {
    out << fit_table(fitted[i]);
    out << fmt::format("\n{}{}\n", sources.powders[i].added ? "[[powder]]\n" : "",
                       toml_of(whole_entry(sources.powders[i], fitted[i].measured)));
  }
  for (const std::string& note : sources.notes)
    out << fmt::format("Photo: {}.\n", note);
  if (chart)
    out << fmt::format("The chart is in {}.\n", plain_text(chart->string()));
  if (kept)
    out << fmt::format("Written into {}; the old palette is {}.\n", plain_text(file.string()),
                       plain_text(kept->string()));
  else
    out << "Nothing was changed; --update writes it into the palette.\n";
}

}  // namespace powderplan
