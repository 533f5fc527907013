#include <fmt/format.h>

#include <algorithm>

#include "report/bench_numbers.h"
#include "report/cautions.h"
#include "report/firing_choices.h"
#include "report/panel_drawing.h"
#include "report/stage.h"
#include "report/worksheet_parts.h"
#include "spoken.h"

namespace powderplan {
namespace {

constexpr std::size_t most_choices_shown = 5;

PageData totals(const PlanRecord& record) {
  PageData list(PageData::type::list);
  for (const PowderTotal& total : record.weights.totals) {
    const Powder& powder = record.palette.powders[total.powder];
    const bool is_short = total.short_of > Grams(0);
    PageData row;
    row.set("name", page_text(powder.name));
    row.set("code", page_text(powder.id));
    row.set("jar", jar_chip(record, powder));
    row.set("lands", shown(total.lands));
    row.set("sift", shown(total.sift));
    row.set("used", shown(total.used));
    row.set("stock", total.stock ? shown(*total.stock) : std::string("not stated"));
    row.set("is_short", is_short);
    row.set("verdict", is_short      ? shown(total.short_of) + " short"
                       : total.stock ? "enough"
                                     : "check the jar");
    list.push_back(row);
  }
  return list;
}

PageData firings(const PlanRecord& record) {
  PageData list(PageData::type::list);
  for (std::size_t k = 0; k < record.firing_plan.firings.size(); ++k) {
    const Firing& firing = record.firing_plan.firings[k];
    const Celsius top = top_of(firing.segments);
    std::string steps;
    for (const std::size_t layer : firing.layers)
      steps += (steps.empty() ? "" : ", ") + std::to_string(layer + 1);
    PageData row;
    row.set("number", std::to_string(k + 1));
    row.set("finish", std::string(name_of(firing.finish)));
    row.set("steps", steps);
    row.set("top", shown(top));
    row.set("top_f", shown_fahrenheit(top));
    row.set("hours", fmt::format("{:.0f}", std::ceil(hours_of(firing.segments))));
    row.set("done", k < record.firings_done);
    list.push_back(row);
  }
  return list;
}

// What other numbers of firings would do to the colours; nothing where there was no choice.
PageData firing_choice_rows(const PlanRecord& record, const std::vector<FiringTrial>& choices) {
  PageData list(PageData::type::list);
  const auto mine = choice_of_plan(choices, record.firing_plan);
  const auto best = std::min_element(
      choices.begin(), choices.end(),
      [](const FiringTrial& a, const FiringTrial& b) { return a.softened_de00 < b.softened_de00; });
  for (std::size_t i = 0; i < choices.size(); ++i) {
    const FiringTrial& choice = choices[i];
    const bool is_best = !mine && choices.begin() + static_cast<std::ptrdiff_t>(i) == best;
    PageData row;
    row.set("count", counted(static_cast<std::size_t>(choice.firings), "firing"));
    row.set("raised",
            choice.raised == 0 ? std::string("all flat") : fmt::format("{} on spacers", choice.raised));
    row.set("mine", mine == i);
    row.set("colours", mine == i ? std::string("as planned here")
                       : is_best ? std::string("the closest of these")
                                 : farther_off(choice, mine ? choices[*mine] : *best));
    list.push_back(row);
  }
  return list;
}

// Powders of the plan of which nobody has measured a fired tile, each once.
std::vector<std::string> never_measured(const PlanRecord& record) {
  std::vector<std::string> names;
  for (const Layer& layer : record.layers) {
    const Powder& powder = powder_of(record, layer);
    if (!powder.measured && std::find(names.begin(), names.end(), powder.name) == names.end())
      names.push_back(powder.name);
  }
  return names;
}

// What the numbers of section "fidelity" mean to somebody who stands before the piece.
PageData accuracy(const PlanRecord& record) {
  const Fidelity& f = record.fidelity;
  PageData lines(PageData::type::list);
  const auto say = [&](const std::string& text) { lines.push_back(PageData("line", page_text(text))); };
  say(fmt::format(
      "Spot for spot the plan differs from the picture by {} on average; in the worst twentieth of its "
      "area by more than {}. (CIEDE2000: 1 can just be told apart side by side, 3 is hard to see within a "
      "picture, 10 is plainly another colour.)",
      shown_difference(f.mean_de00), shown_difference(f.p95_de00)));
  if (f.seen_from_mm > 0)
    say(fmt::format("From {:.1f} m away the eye averages over small spots and sees {}.",
                    f.seen_from_mm / 1000, shown_difference(f.seen_mean_de00)));
  if (f.edge_mm > 0)
    say(fmt::format("Edges lie {} from where the picture has them, on average.",
                    shown(Millimetres(f.edge_mm))));
  if (f.expected_de00 > 0)
    say(fmt::format(
        "The powders themselves are known to about {} only. A fired test tile makes that smaller.",
        shown_difference(f.expected_de00)));
  if (const std::vector<std::string> names = never_measured(record); !names.empty())
    say(
        fmt::format("Never measured: {}. On their steps the number behind \u00b1 says how far off their "
                    "colours may be: fire a "
                    "step tile before you rely on them.",
                    spoken(names)));
  if (f.flat_mean_de00 > 0)
    say(fmt::format(
        "The same number of layers, each one powder at full weight chosen from a colour chart, would "
        "differ by {}.",
        shown_difference(f.flat_mean_de00)));
  if (f.bound_mean_de00 > 0)
    say(fmt::format(
        "With every mixture of the whole shelf at every spot it would still be {}: the rest is not on "
        "the shelf.",
        shown_difference(f.bound_mean_de00)));
  return lines;
}

// Rows of the tables on the cover, one below the other.
std::size_t rows_on_cover(const PlanRecord& record, std::size_t choices) {
  constexpr std::size_t rows_around_choices = 3;
  // Firings and choices stand side by side.
  return record.weights.totals.size() +
         std::max(record.firing_plan.firings.size(), choices > 0 ? choices + rows_around_choices : 0);
}

// With more rows than the first the cover is set smaller, so that all fits on one sheet of A4 or letter
// paper; with more than the second it goes on on another.
constexpr std::size_t roomy_rows = 9, most_rows_on_a_sheet = 20;

}  // namespace

void add_cover(PageData& page, const PlanRecord& record, const PagePictures& pictures) {
  const Sheet& sheet = sheet_of(record);
  const bool tall = record.height.value() > 0.8 * record.width.value();
  bool any_short = false;
  for (const PowderTotal& total : record.weights.totals)
    any_short = any_short || total.short_of > Grams(0);
  page.set("size", fmt::format("{:.0f} \u00d7 {:.0f} mm", record.width.value(), record.height.value()));
  page.set("sheet_name", page_text(sheet.name));
  page.set("sheet_thickness", shown(sheet.thickness));
  page.set("view_words",
           std::string(record.view == View::wall ? "to hang on a wall" : "to hang in a window"));
  page.set("step_count", counted(record.layers.size() - layers_done(record), "step"));
  page.set("firing_count", counted(record.firing_plan.firings.size() - record.firings_done, "firing"));
  page.set("any_done", record.firings_done > 0);
  page.set("done_count", counted(record.firings_done, "firing"));
  const std::vector<FiringTrial> choices =
      choices_to_tell(record.firing_trials, record.firing_plan, most_choices_shown);
  const bool any_choice = choices.size() > 1;
  page.set("any_choice", any_choice);
  if (any_choice)
    page.set("choices", firing_choice_rows(record, choices));
  const std::size_t rows = rows_on_cover(record, any_choice ? choices.size() : 0);
  page.set("crowded", rows > roomy_rows);
  page.set("overfull", rows > most_rows_on_a_sheet);
  page.set("timeline", timeline(record));
  page.set("tall", tall);
  page.set("any_short", any_short);
  page.set("any_layers", !record.layers.empty());
  PageData final =
      scaled_picture(record, pictures.final, "final", "The finished piece as the plan predicts it");
  if (!record.panels.panels.empty())
    final.set("on_panels", panel_lines_element(record, PanelNames::with_sizes));
  page.set("final", final);
  page.set("target", scaled_picture(record, pictures.target, "target", "The picture that the plan aims at"));
  page.set("totals", totals(record));
  page.set("firings", firings(record));
}

void add_cautions(PageData& page, const PlanRecord& record) {
  PageData list(PageData::type::list);
  for (const Caution& caution : cautions_of(record)) {
    PageData item;
    item.set("heading", caution.title);
    item.set("words", page_text(caution.text));
    list.push_back(item);
  }
  PageData notes(PageData::type::list);
  for (const std::string& note : record.notes)
    notes.push_back(PageData("note", page_text(note)));
  page.set("cautions", list);
  page.set("accuracy", accuracy(record));
  page.set("any_notes", !record.notes.empty());
  page.set("notes", notes);
  page.set("dust_reminder", dust_reminder());
  page.set("kiln_reminder", kiln_reminder());
}

}  // namespace powderplan
