// What the program says when it cannot go on: always one line.
#pragma once

#include <exception>
#include <string>

#include "problem.h"

namespace powderplan {

// "powderplan: place: wrong; remedy", without a line break.
std::string line_of(const Problem& problem);

// Anything thrown, as a Problem: memory and disk are named, the rest is a fault of ours.
Problem problem_of(const std::exception& thrown);

}  // namespace powderplan
