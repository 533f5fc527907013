// What can hurt people or glass, said where the risk is.
#pragma once

#include <string>
#include <vector>

#include "report/plan_record.h"

namespace powderplan {

struct Caution {
  std::string title, text;
};

// Before the first step, gravest first.
std::vector<Caution> cautions_of(const PlanRecord& record);

// One line for every page where powder is sifted, for every page about the kiln.
std::string dust_reminder();
std::string kiln_reminder();
// And where something is cut: stencils, glass.
std::string cut_reminder();
std::string glass_cut_reminder();

}  // namespace powderplan
