#include "app/cards_command.h"

#include <fmt/format.h>

#include <filesystem>
#include <ostream>

#include "app/interrupt.h"
#include "app/usual_flags.h"
#include "plan/flag_answer.h"
#include "problem.h"
#include "report/cautions.h"
#include "report/corner_cards_pdf.h"
#include "report/whole_file.h"
#include "utf8.h"

namespace powderplan {

void run_cards(const CompareOptions& options, std::ostream& out) {
  if (!options.photo.empty())
    throw Problem(ProblemKind::command_line, "--cards", "and a photo are both given",
                  "print the cards first, and compare once the piece is photographed with them");
  const std::filesystem::path file = FlagAnswer("--cards", options.cards).file();
  const FoundPlace found = check_whole_file(file, ".pdf", options.replace);
  const std::vector<std::uint8_t> pdf = corner_cards_pdf(paper_said(options.paper));
  const SignalGuard guard;
  write_whole_file(file, found, pdf, SignalGuard::check);
  out << fmt::format("The corner cards are in {}: print at 100 % and cut them out.\n{}\n",
                     plain_text(file.string()), cut_reminder());
}

}  // namespace powderplan
