// As much of a plan as it is chosen by.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "report/plan_effort.h"
#include "report/plan_record.h"

namespace powderplan {

struct PlanGlance {
  std::string title;
  Millimetres width, height, pitch;
  Sheet base;
  View view = View::wall;
  std::size_t layers = 0, powders = 0, firings = 0;
  Finish finish = Finish::full;  // of the last firing
  PlanEffort effort;
  Fidelity fidelity;
  Grams lands;
  std::vector<std::pair<std::string, Grams>> short_of;  // name of the powder, how much too little there is
  Image<Rgb8> finished, target;                         // one grid point a pixel
};

PlanGlance glance_at(const PlanRecord& record);

}  // namespace powderplan
