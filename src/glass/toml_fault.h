// What is wrong with a line that is no TOML, in words for those who write palettes and not programs.
#pragma once

#include <string>
#include <string_view>

namespace powderplan {

struct TomlFault {
  std::string wrong, remedy;
};

// `line` is the line that toml++ stopped at, `complaint` what it says about it. The words follow from both:
// the complaint tells which rule was broken, the line which slip of the hand broke it. What is not known gets
// words that are true of any line.
TomlFault toml_fault(std::string_view line, std::string_view complaint);

}  // namespace powderplan
