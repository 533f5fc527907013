// What a proof says to a client, in words that need no knowledge of glass or of colour.
#pragma once

#include <string>
#include <vector>

#include "report/plan_record.h"

namespace powderplan {

// How two colours look that are so far apart (CIEDE2000), as the end of "they differ ...". The steps are
// those of Mokrzycki and Tatol 2011, Machine Graphics and Vision 20, 383 (from memory): 1 not seen, 2 seen by
// the trained, 3.5 by everybody, 5 clearly, above that two colours.
std::string how_far_apart(double de00);

struct ProofWords {
  std::string piece;    // size, sheet, place: one line
  std::string making;   // powders, layers, firings
  std::string colour;   // how near the colours will come
  std::string by_hand;  // what is left to the hand and the kiln
  std::string agreed;   // what a signature stands for
};
ProofWords proof_words(const PlanRecord& record);

}  // namespace powderplan
