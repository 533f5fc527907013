#include <iostream>

#include "app/entries.h"
#include "app/program.h"

int powderplan_run(int argc, const char* const* argv) {
  return powderplan::run(argc, argv, std::cout, std::cerr);
}
