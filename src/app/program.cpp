#include "app/program.h"

#include <CLI/App.hpp>
#include <ostream>
#include <string>
#include <vector>

#include "app/command_line.h"
#include "app/commands.h"
#include "app/exit_code.h"
#include "app/interrupt.h"
#include "app/messages.h"
#include "app/plain_output.h"

namespace powderplan {
namespace {

int run_checked(const std::vector<std::string>& words, std::ostream& out, std::ostream& err) {
  CLI::App app;
  CommandOptions options;
  const std::vector<Command> commands = set_up_program(app, options);
  if (const auto answer = parse_command_line(app, words)) {
    out << *answer;
    return exit_done;
  }
  for (const Command& one : commands) {
    if (one.flags->parsed()) {
      one.run(out, err);
      return exit_done;
    }
  }
  std::string names;
  for (const Command& one : commands)
    names += (names.empty() ? "" : &one == &commands.back() ? " or " : ", ") + one.flags->get_name();
  out << app.help();
  throw Problem(ProblemKind::command_line, "command line", "no command is given", "say " + names);
}

}  // namespace

int run(int argc, const char* const* argv, std::ostream& out, std::ostream& err) {
  try {
    PlainOutput plain(out);
    const int code = run_checked(
        argc > 1 ? std::vector<std::string>(argv + 1, argv + argc) : std::vector<std::string>(), plain, err);
    if (!plain.flush())
      throw Problem(ProblemKind::other, "standard output", "cannot be written", "check where it goes");
    return code;
  } catch (const Interrupted& interrupted) {
    return exit_by_signal + interrupted.signal();
  } catch (const std::exception& thrown) {
    const Problem problem = problem_of(thrown);
    err << line_of(problem) << std::endl;
    return exit_code(problem.kind());
  }
}

}  // namespace powderplan
