#include "plan/technique_request.h"

#include <fmt/format.h>

#include <array>

#include "plan/choice_request.h"
#include "problem.h"

namespace powderplan {
namespace {

struct Way {
  std::string_view name;
  bool PowderWays::*of_powder;
};
constexpr std::array<Way, 3> all_ways{
    {{"stencil", &PowderWays::stencil}, {"fade", &PowderWays::fade}, {"line", &PowderWays::line}}};

}  // namespace

std::vector<PowderWays> powder_ways(const PlanRequest& request, const Palette& palette) {
  const PowderWays of_run{request.techniques.stencil, request.techniques.fade, request.techniques.line};
  std::vector<PowderWays> ways(palette.powders.size(), of_run);
  for (const TechniqueWish& wish : request.lay) {
    PowderWays& own = ways[place_of(palette, wish.powder, "--lay")];
    for (const Way& way : all_ways)
      own.*way.of_powder = own.*way.of_powder && way.name == wish.technique;
  }
  for (const TechniqueWish& wish : request.lay_not) {
    PowderWays& own = ways[place_of(palette, wish.powder, "--lay-not")];
    for (const Way& way : all_ways)
      own.*way.of_powder = own.*way.of_powder && way.name != wish.technique;
  }
  for (std::size_t p = 0; p < ways.size(); ++p) {
    if (ways[p] == PowderWays{false, false, false})
      throw Problem(ProblemKind::command_line, "--lay",
                    fmt::format("no way is left to put down powder \"{}\"", palette.powders[p].id),
                    "allow it one of --techniques, or name it in --without");
  }
  return ways;
}

}  // namespace powderplan
