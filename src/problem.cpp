#include "problem.h"

#include "utf8.h"

namespace powderplan {

// File names and names in palettes may hold line breaks and control characters; a message is one plain line.
// NOLINTNEXTLINE(performance-unnecessary-value-param): three short copies, once, where work has ended
Problem::Problem(ProblemKind kind, std::string place, std::string wrong, std::string remedy)
    : kind_(kind),
      place_(plain_text(place)),
      wrong_(plain_text(wrong)),
      remedy_(plain_text(remedy)),
      line_(place_ + ": " + wrong_ + (remedy_.empty() ? "" : "; " + remedy_)) {}

}  // namespace powderplan
