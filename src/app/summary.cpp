#include "app/summary.h"

#include <fmt/format.h>

#include <algorithm>

#include "report/bench_numbers.h"
#include "report/firing_choices.h"
#include "report/panel_words.h"
#include "report/plan_effort.h"
#include "spoken.h"
#include "utf8.h"

namespace powderplan {
namespace {

constexpr std::string_view caution =
    "Before you sift or fire: P100 or N95 respirator, local extraction, wet cleaning; mind cut edges and the "
    "hot "
    "kiln; one expansion family only; the glass maker's data and the kiln's manual come first.";

std::string line(std::string_view head, const std::string& text) {
  return fmt::format("  {:<9}{}\n", head, text);
}

std::string base_lines(const PlanRecord& record) {
  const Sheet& sheet = record.palette.sheets[record.sheet];
  if (record.base_trials.empty())
    return line("base", fmt::format("{}, as asked", sheet.id));
  std::string text = line("base", fmt::format("{}, the best of {} in a quick trial (mean error)", sheet.id,
                                              record.base_trials.size()));
  std::size_t widest = 0;
  for (const BaseTrial& trial : record.base_trials)
    widest = std::max(widest, trial.sheet_id.size());
  for (const BaseTrial& trial : record.base_trials)
    text +=
        line("", fmt::format("  {:<{}}  {:>5}", trial.sheet_id, widest, shown_difference(trial.mean_de00)));
  return text;
}

std::string layers_lines(const PlanRecord& record) {
  const std::size_t raised = raised_stencils(record.firing_plan);
  std::string text = fmt::format("{} of {} in {}", counted(record.layers.size(), "layer"),
                                 counted(record.weights.totals.size(), "powder"),
                                 counted(record.firing_plan.firings.size(), "firing"));
  if (raised > 0)
    text += fmt::format(", {} on spacers", counted(raised, "stencil"));
  if (record.firings_done > 0)
    text += fmt::format("; {} {} done already", counted(record.firings_done, "firing"),
                        record.firings_done == 1 ? "is" : "are");
  text = line("work", text);
  if (const std::string fewest = fewest_in_words(record.firing_plan, record.limits.raised); !fewest.empty())
    text += line("", fewest);
  return text;
}

// What other numbers of firings would cost; nothing where there was no choice.
std::string choice_lines(const PlanRecord& record) {
  const std::vector<FiringTrial> choices =
      choices_to_tell(record.firing_trials, record.firing_plan, record.firing_trials.size());
  if (choices.size() < 2)
    return {};
  const auto mine = choice_of_plan(choices, record.firing_plan);
  const bool any_raised = std::any_of(choices.begin(), choices.end(),
                                      [](const FiringTrial& choice) { return choice.raised > 0; });
  std::string text =
      line("choice", "about what other numbers of firings would cost (quick trials, mean error)");
  text += line("", any_raised ? "  firings  on spacers  error  edges softened" : "  firings  error");
  for (std::size_t i = 0; i < choices.size(); ++i) {
    const FiringTrial& choice = choices[i];
    std::string row = fmt::format("  {:>7}", choice.firings);
    if (any_raised)
      row += fmt::format("  {:>10}", choice.raised == 0 ? "none" : std::to_string(choice.raised));
    row += fmt::format("  {:>5}", shown_difference(choice.mean_de00));
    if (any_raised)
      row += fmt::format("  {:>14}", shown_difference(choice.softened_de00));
    text += line("", row + (mine == i ? "  this plan" : ""));
  }
  return text;
}

// What is to be cut, and how much shorter bridges would have cost.
std::string stencil_lines(const PlanRecord& record, const PlanEffort& effort) {
  if (effort.stencils == 0)
    return {};
  std::string text =
      line("cut", fmt::format("{} with {}{}, about {}", counted(effort.stencils, "stencil"),
                              counted(effort.bridges, "bridge"),
                              effort.small_templates == 0
                                  ? ""
                                  : ", or in part " + counted(effort.small_templates, "small template"),
                              shown_minutes(std::max(1.0, effort.cut_minutes))));
  const Grid& grid = record.separation.grid;
  const double piece_cm2 = static_cast<double>(grid.width) * grid.height * grid.point_cm2();
  if (effort.bridges > 0 && piece_cm2 > 0)
    text += line(
        "", fmt::format("bridges cost {:.2f} of the mean error; the shortest ones would cost {:.2f}",
                        effort.bridge_error_cm2 / piece_cm2, effort.shortest_bridge_error_cm2 / piece_cm2));
  return text;
}

// What the piece is cut into, for the shelf.
std::string panel_lines(const PlanRecord& record) {
  const PanelLayout& layout = record.panels;
  if (layout.panels.empty())
    return {};
  std::string sizes;
  const std::size_t listed = std::min<std::size_t>(layout.panels.size(), 6);
  for (std::size_t i = 0; i < listed; ++i) {
    const BoxMm box = in_mm(layout.panels[i].box, record.separation.grid.pitch);
    sizes += fmt::format("{}{} x {}", sizes.empty() ? "" : ", ", panel_mm(box.right - box.left),
                         panel_mm(box.bottom - box.top));
  }
  if (listed < layout.panels.size())
    sizes += fmt::format(" mm and {} more", layout.panels.size() - listed);
  else
    sizes += " mm";
  return line("panels", fmt::format("{}: {}", layout.panels.size(), sizes)) +
         line("", crossings_in_words(layout)) +
         line("", "each with its own stencils and templates in panels/");
}

// What is laid by hand: fades, lines drawn and lines scratched.
std::string hand_lines(const PlanEffort& effort) {
  std::string text;
  if (effort.fades > 0)
    text += line(
        "fades",
        fmt::format("{} graded by hand{}", counted(effort.fades, "layer"),
                    effort.free_fades == 0 ? "" : fmt::format(", {} without a template", effort.free_fades)));
  if (effort.lines > 0)
    text += line("lines", fmt::format("{} by hand, {:.1f} m", counted(effort.lines, "line"),
                                      effort.line_length.value() / 1000));
  return text;
}

std::string error_lines(const PlanRecord& record) {
  const Fidelity& fidelity = record.fidelity;
  std::string text =
      line("error", fmt::format("{} mean, {} at the 95th percentile (CIEDE2000)",
                                shown_difference(fidelity.mean_de00), shown_difference(fidelity.p95_de00)));
  if (raised_stencils(record.firing_plan) > 0)
    text += line("", fmt::format("{} mean with the edges softened where stencils stand on spacers",
                                 shown_difference(fidelity.softened_mean_de00)));
  return text +
         line("", fmt::format("{} with flat colours, one powder each, in as many layers",
                              shown_difference(fidelity.flat_mean_de00))) +
         line("", fmt::format("{} would be the least this shelf can reach",
                              shown_difference(fidelity.bound_mean_de00))) +
         line("", fmt::format("{} as seen from {:.4g} m", shown_difference(fidelity.seen_mean_de00),
                              fidelity.seen_from_mm / 1000));
}

std::string weight_lines(const PlanRecord& record) {
  Grams lands, sift, used;
  for (const PowderTotal& total : record.weights.totals) {
    lands += total.lands;
    sift += total.sift;
    used += total.used;
  }
  std::string text =
      line("powder", fmt::format("{} stays on the glass, {} leaves the sifter, {} of it comes back",
                                 shown(lands), shown(sift), shown(sift - used)));
  for (const PowderTotal& total : record.weights.totals)
    if (total.short_of.value() > 0)
      text += line("short",
                   fmt::format("{} of {}", shown(total.short_of), record.palette.powders[total.powder].id));
  return text;
}

}  // namespace

std::string plan_summary(const PlanRecord& record, const std::filesystem::path& folder) {
  std::string text =
      fmt::format("{}, {:.5g} x {:.5g} mm\n\n", record.title, record.width.value(), record.height.value());
  const PlanEffort effort = effort_of(record);
  text += base_lines(record) + layers_lines(record) + choice_lines(record) + stencil_lines(record, effort) +
          panel_lines(record) + hand_lines(effort) + error_lines(record) + weight_lines(record);
  for (const std::string& note : record.notes)
    text += line("note", note);
  text += fmt::format("\nOpen {} at the bench: it goes step by step.\n",
                      plain_text((folder / "worksheet.html").string()));
  text += fmt::format("{}\n", caution);
  return text;
}

}  // namespace powderplan
