// Writes the trial plan into a folder, for the checks from outside: write_trial_plan FOLDER
// wall|window|fades|measured
#include <cstdio>
#include <string>

#include "firing/starting_schedule.h"
#include "problem.h"
#include "report/fixture.h"
#include "report/plan_folder.h"

int main(int argc, char** argv) {
  using namespace powderplan;
  if (argc != 3) {
    std::fputs("write_trial_plan FOLDER wall|window|fades|measured\n", stderr);
    return 2;
  }
  try {
    PlanRecord plan =
        std::string(argv[2]) == "fades" ? fixture::record_with_fades() : fixture::record_with_repeats();
    if (std::string(argv[2]) == "window") {
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
    if (std::string(argv[2]) == "measured") {
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
