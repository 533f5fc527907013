// The program's commands and flags as plain values, read off its own command line.
#pragma once

#include <string>
#include <vector>

namespace powderplan {

struct DescribedFlag {
  std::vector<std::string> names;  // "--width", "-h"; of a place without a flag its name, "IMAGE"
  std::string value;               // what is written after it: "MM", "a4|letter"; empty: nothing
  std::string help;
  std::string heading;  // under which it stands
  bool is_place;        // written without a flag
};

struct DescribedCommand {
  std::string name;  // "plan"; of the program itself "powderplan"
  std::string does;
  std::string usage;  // what may follow the name: "[OPTIONS] [IMAGE]"
  std::vector<DescribedFlag> flags;
  std::string more;  // examples and remarks, as in the help
};

struct DescribedProgram {
  DescribedCommand itself;
  std::vector<DescribedCommand> commands;
  std::string version;
};

DescribedProgram described_program();

}  // namespace powderplan
