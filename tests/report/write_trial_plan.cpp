// Writes the trial plan into a folder, for the checks from outside: write_trial_plan FOLDER
// wall|window|fades|measured|lines|tall|twelve|names|crowded|panels
#include <cstdio>
#include <string>

#include "firing/starting_schedule.h"
#include "problem.h"
#include "report/fixture.h"
#include "report/plan_folder.h"
#include "report/twelve_layers.h"

namespace {

using namespace powderplan;

// Names that are long, without a blank, and from right to left.
void rename(PlanRecord& plan) {
  const std::string salt = "\u0645\u0644\u062d \u0627\u0644\u0628\u062d\u0631 ";  // Arabic: salt of the sea
  const std::string reed = "\u05e7\u05e0\u05d4 ";                                 // Hebrew: reed
  std::string unbroken, many_words, mixed;
  for (int i = 0; i < 12; ++i)
    unbroken += "Saltmarshcordgrass";
  for (int i = 0; i < 11; ++i)
    many_words += "dune & <reed> \"\U0001f600\" ";
  for (int i = 0; i < 3; ++i)
    mixed += salt + reed;
  plan.title = many_words + salt + reed + many_words;
  plan.palette.powders[0].name = unbroken;
  plan.palette.powders[1].name = many_words;
  plan.palette.powders[2].name = mixed;
  plan.palette.sheets[0].name = salt + unbroken.substr(0, 90);
}

// More of everything than a page can easily hold.
void crowd(PlanRecord& plan) {
  for (int i = 0; i < 12; ++i)
    for (std::size_t k = 0; k < 3; ++k)
      plan.weights.totals.push_back(plan.weights.totals[k]);
  std::string long_note;
  for (int i = 0; i < 60; ++i)
    long_note += "The picture says more than powders can, and here it says so again. ";
  plan.notes.assign(
      30, "A note of the usual length, about one thing that the plan could not do as it was asked.");
  plan.notes.push_back(long_note);
  for (Firing& firing : plan.firing_plan.firings)
    firing.why = long_note;
  for (LayerPlace& place : plan.firing_plan.places)
    place.why = long_note;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3) {
    std::fputs("write_trial_plan FOLDER wall|window|fades|measured|lines|tall|twelve|names|crowded|panels\n",
               stderr);
    return 2;
  }
  try {
    const std::string kind = argv[2];
    PlanRecord plan = kind == "fades"    ? fixture::record_with_fades(224, 144)
                      : kind == "names"  ? fixture::record_with_fades()
                      : kind == "lines"  ? fixture::record_with_lines(224, 144)
                      : kind == "tall"   ? fixture::record_with_fades(120, 210)
                      : kind == "twelve" ? fixture::record_of_twelve()
                      : kind == "panels" ? fixture::record_in_panels()
                                         : fixture::record_with_repeats();
    if (kind == "names")
      rename(plan);
    if (kind == "crowded") {
      crowd(plan);
      plan.paper = paper_letter;
    }
    if (kind == "tall" || kind == "lines" || kind == "twelve") {
      // Names that run from right to left, mixed with marks.
      plan.title += " \u05de\u05dc\u05d7\u05ea <hr>";
      plan.palette.powders[0].name = "\u05d7\u05d5\u05dc \u05dc\u05d1\u05df & \U0001F600";
    }
    if (kind == "lines") {
      // As many rows as a cover takes on one sheet.
      const std::vector<PowderTotal> few = plan.weights.totals;
      while (plan.weights.totals.size() < 12)
        plan.weights.totals.push_back(few[plan.weights.totals.size() % few.size()]);
    }
    if (kind == "tall") {
      // All that a step can have to say.
      set_up_stencils(plan, RepeatUse::always);
      for (std::size_t i = 0; i < plan.layers.size(); ++i)
        plan.firing_plan.places[i].raised = plan.layers[i].stencil.has_value();
      plan.palette.powders[1].name =
          "Kelp from the third bay beyond the old sluice, second delivery, sieved again and mixed with a "
          "little "
          "of the first";
    }
    if (kind == "window") {
      plan = fixture::record_with_reactions(224, 144);
      plan.view = View::window;
      plan.paper = paper_letter;
      plan.illuminant = "5000K";
      plan.backing = Spectrum::constant(0.5);
      Firing& last = plan.firing_plan.firings.back();
      last.finish = Finish::contour;
      last.segments = starting_schedule(plan.palette.glass, plan.palette.sheets[0].thickness, last.finish,
                                        plan.limits.reference_grain);
      last.flow = flow_of(last.segments, ViscosityCurve(plan.palette.glass));
    }
    if (kind == "measured") {
      // As a measurement leaves them: each powder with a spreading and a load curve of its own.
      double spreads = 0.8;
      for (Powder& powder : plan.palette.powders) {
        powder.measured = true;
        powder.optics.spreads = spreads;
        powder.optics.curve =
            LoadCurve({{Load(0.03), Load(0.05)}, {Load(0.15), Load(0.16)}, {Load(0.4), Load(0.33)}});
        spreads += 0.15;
      }
    }
    write_plan_folder(plan, argv[1], true);
  } catch (const Problem& problem) {
    std::fprintf(stderr, "%s\n", problem.what());
    return 1;
  }
  return 0;
}
