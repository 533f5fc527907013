#include "version.h"

namespace powderplan {

std::string_view program_version() {
  return POWDERPLAN_VERSION;
}

}  // namespace powderplan
