// The program's own libraries beside this one (app/entries.h).
#pragma once

#include <string_view>

#include "app/entries.h"

namespace powderplan {

// What stands in libpowderplan_`library`.so by this name. The library is opened, unless it is, from the
// folder of the one that this code is in, and stays open. Throws Problem (other) where it is missing, or what
// it needs is.
void* own_function(std::string_view library, const char* name);

template <class Options>
void run_entry(std::string_view library, const char* name, const Options& options, std::ostream& out,
               std::ostream& err) {
  reinterpret_cast<Entry<Options>*>(own_function(library, name))(options, out, err);
}

}  // namespace powderplan
