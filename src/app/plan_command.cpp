#include "app/plan_command.h"

#include <optional>
#include <ostream>

#include "app/interrupt.h"
#include "app/piece_request.h"
#include "app/progress.h"
#include "app/summary.h"
#include "parallel.h"
#include "plan/flag_answer.h"
#include "plan/kept_results.h"
#include "plan/stay_in_stock.h"
#include "problem.h"
#include "report/plan_folder.h"

namespace powderplan {
std::filesystem::path plan_folder_of(const PlanOptions& options, const PlanRequest& request) {
  if (!options.out.empty())
    return FlagAnswer("--out", options.out).file();
  std::filesystem::path name = request.image.stem();
  name += "-plan";
  return name;
}

void run_plan(const PlanOptions& options, std::ostream& out, std::ostream& err) {
  const PieceText piece = piece_text_of(options.piece);
  PlanRequest request = request_of(options.piece, piece);
  request.timings = options.timings;
  const std::filesystem::path folder = plan_folder_of(options, request);
  const OwnPlace place =
      looked_at([&] { return check_plan_folder(folder, options.replace); });  // before the minutes of work

  const ThreadCount threads(request.threads);
  PlanRecord record;
  std::vector<std::string> folder_notes;
  try {
    ProgressLine progress(err, is_terminal(err));
    record = make_asked_plan(request, std::ref(progress));
    const SignalGuard guard;
    progress("writing the plan", 0.95);
    // A plan within the stock is one of several, which their settings alone do not tell apart.
    const KeptResults kept(request, record.inputs);
    const std::string laid = kept.keeps() ? fingerprint_of_piece(record) : "";
    const auto keeper = [&](const std::string& name, const std::function<LookedAt()>& look) {
      LookedAt looked;
      kept.fill(
          KeptStep::pictures, name + " of " + laid, [&] { looked = look(); }, looked.files, looked.small);
      return looked;
    };
    folder_notes = write_plan_folder(record, place, SignalGuard::check,
                                     request.within_stock ? LookKeeper{} : LookKeeper{keeper});
  } catch (const Problem& problem) {
    rethrow_at_its_origin(problem, options.piece, piece);
  }
  record.notes.insert(record.notes.end(), folder_notes.begin(), folder_notes.end());
  out << plan_summary(record, folder) << std::flush;
}

}  // namespace powderplan
