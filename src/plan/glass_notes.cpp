#include "plan/glass_notes.h"

#include <fmt/format.h>

#include <algorithm>

#include "glass/expansion.h"
#include "report/reaction_words.h"

namespace powderplan {
namespace {

void add_wishes(const PlanRecord& record, std::vector<std::string>& notes) {
  for (const PairPrice& price : record.pair_prices) {
    const std::string &one = record.palette.powders[price.one].id,
                      &other = record.palette.powders[price.other].id;
    const Meeting* meeting = meeting_between(record, price.one, price.other);
    const bool meet = meeting != nullptr && worth_telling(*meeting);
    if (price.wished() && meeting == nullptr)
      notes.push_back(
          fmt::format("{0} and {1} are wished to touch, but this plan has no more than one of them: "
                      "--use {0},{1} takes both",
                      one, other));
    else if (price.wished() && !meet)
      notes.push_back(fmt::format("{} and {} are wished to touch, and do so nowhere", one, other));
    else if (!price.wished() && meet)
      notes.push_back(
          fmt::format("{0} and {1} are to keep apart and still meet, {2}: --without {0} or "
                      "--without {1} would keep them apart",
                      one, other, extent_of(*meeting)));
  }
}

void add_meetings(const PlanRecord& record, std::vector<std::string>& notes) {
  const std::vector<MarkedMeeting> marked = marked_meetings(record);
  if (marked.empty())
    return;
  notes.push_back(
      marked.size() == 1
          ? fmt::format("{} darken where they meet (previews/reactions.png): fire a test first",
                        names_of(record, marked.front().meeting->pair, Naming::ids))
          : fmt::format(
                "{} pairs of glasses darken where they meet (previews/reactions.png): fire tests first",
                marked.size()));
}

void add_expansion(const PlanRecord& record, std::vector<std::string>& notes) {
  const std::vector<MismatchedPair> pairs = mismatches_in(record);
  if (pairs.empty())
    return;
  const auto worst = std::max_element(pairs.begin(), pairs.end(), [](const auto& a, const auto& b) {
    return a.mismatch.ppm < b.mismatch.ppm;
  });
  std::string note =
      fmt::format("{} and {} shrink differently by {}", worst->one, worst->other, shown(worst->mismatch));
  if (worst->mismatch.ppm >= warned_mismatch_ppm)
    note += fmt::format(
        ": much, for above {:.0f} ppm glass is likely to fracture (ASTM F144); fire a test, and keep it for "
        "weeks before you trust it",
        most_mismatch_ppm);
  notes.push_back(std::move(note));
}

}  // namespace

std::vector<std::string> glass_notes(const PlanRecord& record) {
  std::vector<std::string> notes;
  add_wishes(record, notes);
  add_meetings(record, notes);
  add_expansion(record, notes);
  return notes;
}

}  // namespace powderplan
