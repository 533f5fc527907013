#include "report/cautions.h"

#include <fmt/format.h>

namespace powderplan {

std::vector<Caution> cautions_of(const PlanRecord& record) {
  std::vector<Caution> cautions{
      {"Those who know your glass come first",
       "The glass maker's data, the manual of your kiln, local codes and licensed practice come before "
       "anything on "
       "these pages. Every number here is computed, none is a promise: try a small tile first."},
      {"Glass dust",
       "Fine glass dust must not be breathed in. Wear a P100 or N95 respirator that fits, from opening the "
       "first jar "
       "until the bench is clean. Sift under local extraction. Clean wet: never sweep, never blow, never use "
       "an "
       "ordinary vacuum cleaner. Change clothes before you leave the room. Do not eat or drink at the "
       "bench."},
      {"Hot kiln",
       "A kiln burns, and goes on burning for hours after it is switched off; its outside can burn too. Keep "
       "it "
       "clear of anything that catches fire, air the room, switch it off at the wall before you reach "
       "inside, and "
       "leave it shut until the piece is at room temperature."},
      {"Cut edges",
       "The edges of sheet glass and of cut stencils are sharp. Wear eye protection and gloves when you cut, "
       "grind "
       "or carry them."},
      {"One expansion family",
       "Glasses of different expansion crack each other, sometimes weeks later. Use only glass of one family "
       "in one "
       "piece, the kiln's leftovers and your own test tiles included."}};
  if (!record.palette.family.empty())
    cautions.back().text += fmt::format(" This plan is made for the family \"{}\".", record.palette.family);
  return cautions;
}

std::string dust_reminder() {
  return "Respirator on. Extraction on. Wipe wet, never sweep.";
}

std::string kiln_reminder() {
  return "Hot for hours, and opened only at room temperature: heat-proof gloves, eye protection. A computed "
         "starting point: the glass maker's chart, the kiln's manual and a test piece come first.";
}

std::string cut_reminder() {
  return "Blades and cut edges are sharp: cut on a mat, away from both hands, with a cut-resistant glove and "
         "eye "
         "protection.";
}

std::string glass_cut_reminder() {
  return "Cut glass is sharp, and splinters fly when it breaks: eye protection, cut-resistant gloves, closed "
         "shoes. "
         "Grind wet, with a respirator on.";
}

}  // namespace powderplan
