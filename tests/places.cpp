#include "places.h"

namespace powderplan::testing {

std::string source_folder() {
  return POWDERPLAN_SOURCE;
}

std::string test_data_folder() {
  return source_folder() + "/tests/data";
}

std::string built_program() {
  return POWDERPLAN_PROGRAM;
}

}  // namespace powderplan::testing
