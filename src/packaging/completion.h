// What the shell offers when the tab key is pressed.
#pragma once

#include <string>

#include "packaging/described.h"

namespace powderplan {

// A script for bash, which needs nothing but bash.
std::string bash_completion(const DescribedProgram& program);

}  // namespace powderplan
