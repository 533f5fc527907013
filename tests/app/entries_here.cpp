// In the place of app/own_library.cpp, which the linker leaves out when it finds this: the work of the
// commands is in the test program itself.
#include <map>
#include <string>

#include "app/own_library.h"

namespace powderplan {

void* own_function(std::string_view, const char* name) {
  static const std::map<std::string, void*> all{
      {"powderplan_heat", reinterpret_cast<void*>(powderplan_heat)},
      {"powderplan_heat_plot", reinterpret_cast<void*>(powderplan_heat_plot)},
      {"powderplan_palette", reinterpret_cast<void*>(powderplan_palette)},
      {"powderplan_palette_chart", reinterpret_cast<void*>(powderplan_palette_chart)},
      {"powderplan_stock", reinterpret_cast<void*>(powderplan_stock)},
      {"powderplan_cards", reinterpret_cast<void*>(powderplan_cards)},
      {"powderplan_plan", reinterpret_cast<void*>(powderplan_plan)},
      {"powderplan_options", reinterpret_cast<void*>(powderplan_options)},
      {"powderplan_tile", reinterpret_cast<void*>(powderplan_tile)},
      {"powderplan_fit", reinterpret_cast<void*>(powderplan_fit)},
      {"powderplan_proof", reinterpret_cast<void*>(powderplan_proof)},
      {"powderplan_compare", reinterpret_cast<void*>(powderplan_compare)}};
  return all.at(name);
}

}  // namespace powderplan
