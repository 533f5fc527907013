// Pairs of glasses that react, as every report shows them: which are told, in what order, under which letter.
#pragma once

#include <string>
#include <vector>

#include "glass/expansion.h"
#include "report/plan_record.h"

namespace powderplan {

// Less than this of both is not told: it is a corner where two borders cross.
inline constexpr Millimetres least_border_told{1};
inline constexpr double least_overlap_told_cm2 = 0.05;
bool worth_telling(const Meeting& meeting);

// A meeting that is told, under its letter: A where most points meet, B, ... Z, AA, ...
struct MarkedMeeting {
  std::string letter;
  const Meeting* meeting = nullptr;  // in the record
};
std::vector<MarkedMeeting> marked_meetings(const PlanRecord& record);

// Null when not both are laid.
const Meeting* meeting_between(const PlanRecord& record, std::size_t one, std::size_t other);

// What the request asks of a pair: "avoid", "wish", or nothing.
std::string wish_for(const PlanRecord& record, const Reaction& pair);

enum class Naming { ids, names };
// "reed-gold and eelgrass"
std::string names_of(const PlanRecord& record, const Reaction& pair, Naming naming);

// "120 mm side by side and 4.2 cm² on one another"
std::string extent_of(const Meeting& meeting);

// Glasses of the plan, its sheet among them, whose stated expansions differ.
std::vector<MismatchedPair> mismatches_in(const PlanRecord& record);

}  // namespace powderplan
