#include "app/usual_flags.h"

#include <fmt/format.h>

#include "plan/flag_answer.h"
#include "problem.h"
#include "report/files.h"

namespace powderplan {

void need(const std::vector<std::string>& said, const char* flag, const char* remedy) {
  if (said.empty())
    throw Problem(ProblemKind::command_line, flag, "is missing", remedy);
}

Palette shelf_in(const std::vector<std::string>& files) {
  std::vector<Palette> shelves;
  for (const std::string& file : files)
    shelves.push_back(parse_palette(read_text_file(file), file));
  return merge(shelves, files);
}

const Paper& paper_said(const std::vector<std::string>& said) {
  if (said.empty())
    return paper_a4;
  const FlagAnswer answer("--paper", said);
  const std::string name = answer.text();
  if (name == "a4")
    return paper_a4;
  if (name == "letter")
    return paper_letter;
  answer.fail(fmt::format("\"{}\" is none of its values", name), "choose a4 or letter");
}

}  // namespace powderplan
