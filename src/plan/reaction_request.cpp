#include "plan/reaction_request.h"

#include <fmt/format.h>

#include <algorithm>

#include "glass/reactions.h"
#include "plan/choice_request.h"
#include "problem.h"

namespace powderplan {
namespace {

constexpr const char* flag = "--react";

[[noreturn]] void refuse(const std::string& wrong, const std::string& remedy) {
  throw Problem(ProblemKind::command_line, flag, wrong, remedy);
}

std::size_t powder_named(const Palette& palette, const std::string& id) {
  if (palette.find_powder(id) == nullptr && palette.find_sheet(id) != nullptr)
    refuse(fmt::format("\"{}\" is a sheet", id), "name two powders; another sheet is chosen with --base");
  return place_of(palette, id, flag);
}

// Those that a powder reacts with, for the message.
std::string partners_of(const std::vector<Reaction>& pairs, const Palette& palette, std::size_t powder) {
  std::vector<std::string> partners;
  for (const Reaction& pair : pairs) {
    if (pair.other && (pair.powder == powder || *pair.other == powder))
      partners.push_back(palette.powders[pair.powder == powder ? *pair.other : pair.powder].id);
  }
  return partners.empty() ? fmt::format("{} with none", palette.powders[powder].id)
                          : fmt::format("{} with {}", palette.powders[powder].id, fmt::join(partners, ", "));
}

}  // namespace

std::vector<PairPrice> pair_prices(const PlanRequest& request, const Palette& palette) {
  const std::vector<Reaction> pairs = reactions_of(palette);
  std::vector<PairPrice> prices;
  for (const ReactionWish& wish : request.react) {
    const std::size_t one = powder_named(palette, wish.one), other = powder_named(palette, wish.other);
    if (one == other)
      refuse(fmt::format("\"{}\" is named as a pair with itself", wish.one), "name two powders that react");
    const bool react = std::any_of(pairs.begin(), pairs.end(), [&](const Reaction& pair) {
      return PairPrice{one, other, 0}.of(pair.powder, pair.other.value_or(one));
    });
    if (!react)
      refuse(fmt::format("\"{}\" and \"{}\" do not react by what the palette says of them", wish.one,
                         wish.other),
             fmt::format("on this shelf {} and {} react; add 'carries' and 'reacts_with' if you know better",
                         partners_of(pairs, palette, one), partners_of(pairs, palette, other)));
    if (wish.wanted) {
      for (const std::string& id : request.without)
        if (id == wish.one || id == wish.other)
          refuse(fmt::format("\"{}\" is left out and cannot touch another powder", id),
                 "take it out of --without, or the pair out of --react");
    }
    if (std::none_of(prices.begin(), prices.end(), [&](const PairPrice& p) { return p.of(one, other); }))
      prices.push_back({one, other, wish.wanted ? -worth_of_wished : price_of_avoided});
  }
  return prices;
}

}  // namespace powderplan
