// What the program's end tells a script.
#pragma once

#include <array>
#include <utility>

#include "problem.h"

namespace powderplan {

inline constexpr int exit_done = 0;
inline constexpr int exit_other = 1;
// Plus the signal's number, as shells count.
inline constexpr int exit_by_signal = 128;

inline constexpr std::array<std::pair<ProblemKind, int>, 4> exit_codes{{
    {ProblemKind::command_line, 2},
    {ProblemKind::input, 3},
    {ProblemKind::infeasible, 4},
    {ProblemKind::other, exit_other},
}};

constexpr int exit_code(ProblemKind kind) {
  for (const auto& [candidate, code] : exit_codes)
    if (candidate == kind)
      return code;
  return exit_other;
}

}  // namespace powderplan
