// Where the tests find the project. Only places.cpp is compiled with these paths, so that all else that is
// compiled is the same wherever the project lies.
#pragma once

#include <string>

namespace powderplan::testing {

std::string source_folder();     // with src/, palettes/, examples/, tests/
std::string test_data_folder();  // tests/data
std::string built_program();     // powderplan; empty where none is built

}  // namespace powderplan::testing
