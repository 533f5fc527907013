#include "report/reaction_words.h"

#include <fmt/format.h>

#include <algorithm>

#include "report/bench_numbers.h"
#include "report/stage.h"

namespace powderplan {
namespace {

// A, B, ... Z, AA, AB, ...
std::string letter_of(std::size_t place) {
  std::string letter(1, static_cast<char>('A' + place % 26));
  return place < 26 ? letter : letter_of(place / 26 - 1) + letter;
}

std::size_t points_of(const Meeting& meeting) {
  return meeting.where.size() - static_cast<std::size_t>(std::count(
                                    meeting.where.data(), meeting.where.data() + meeting.where.size(), 0));
}

}  // namespace

bool worth_telling(const Meeting& meeting) {
  return meeting.border >= least_border_told || meeting.overlap_cm2 >= least_overlap_told_cm2;
}

std::vector<MarkedMeeting> marked_meetings(const PlanRecord& record) {
  std::vector<std::pair<std::size_t, const Meeting*>> told;
  for (const Meeting& meeting : record.meetings) {
    if (worth_telling(meeting))
      told.emplace_back(points_of(meeting), &meeting);
  }
  std::stable_sort(told.begin(), told.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
  std::vector<MarkedMeeting> marked;
  for (std::size_t i = 0; i < told.size(); ++i)
    marked.push_back({letter_of(i), told[i].second});
  return marked;
}

const Meeting* meeting_between(const PlanRecord& record, std::size_t one, std::size_t other) {
  const auto found = std::find_if(record.meetings.begin(), record.meetings.end(), [&](const Meeting& m) {
    return m.pair.other && PairPrice{one, other, 0}.of(m.pair.powder, *m.pair.other);
  });
  return found == record.meetings.end() ? nullptr : &*found;
}

std::string wish_for(const PlanRecord& record, const Reaction& pair) {
  for (const PairPrice& price : record.pair_prices) {
    if (pair.other && price.of(pair.powder, *pair.other))
      return price.wished() ? "wish" : "avoid";
  }
  return "";
}

std::string names_of(const PlanRecord& record, const Reaction& pair, Naming naming) {
  const auto called = [&](const auto& glass) { return naming == Naming::ids ? glass.id : glass.name; };
  const std::string first = called(record.palette.powders[pair.powder]);
  return pair.other ? fmt::format("{} and {}", first, called(record.palette.powders[*pair.other]))
                    : fmt::format("{} and the sheet {}", first, called(record.palette.sheets[*pair.sheet]));
}

std::string extent_of(const Meeting& meeting) {
  std::vector<std::string> parts;
  if (meeting.border >= least_border_told)
    parts.push_back(shown(meeting.border) + " side by side");
  if (meeting.overlap_cm2 >= least_overlap_told_cm2)
    parts.push_back(shown_area(meeting.overlap_cm2) + " on one another");
  return parts.empty() ? "nowhere to speak of" : fmt::format("{}", fmt::join(parts, " and "));
}

std::vector<MismatchedPair> mismatches_in(const PlanRecord& record) {
  Palette used = record.palette;
  used.powders.clear();
  for (std::size_t p = 0; p < record.palette.powders.size(); ++p) {
    const bool laid = std::any_of(record.layers.begin(), record.layers.end(),
                                  [&](const Layer& layer) { return layer.powder == p; });
    if (laid)
      used.powders.push_back(record.palette.powders[p]);
  }
  used.sheets = {sheet_of(record)};
  return mismatches_of(used);
}

}  // namespace powderplan
