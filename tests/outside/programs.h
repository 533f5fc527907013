// Programs that are not ours, as judges.
#pragma once

#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <string>

namespace powderplan::testing {

// What a command prints, its errors too.
inline std::string output_of(const std::string& command) {
  std::string out;
  std::FILE* pipe = popen((command + " 2>&1").c_str(), "r");
  if (pipe == nullptr)
    return "cannot start " + command;
  std::array<char, 512> part;
  while (std::fgets(part.data(), static_cast<int>(part.size()), pipe) != nullptr)
    out += part.data();
  pclose(pipe);
  return out;
}

inline bool has_program(const std::string& name) {
  return std::system(("command -v " + name + " > /dev/null 2>&1").c_str()) == 0;
}

// Pillow (Debian's python3-pil) opens `file` as `im` and runs the code; sys.argv[2] is `second`.
inline std::string pillow(const std::string& code, const std::filesystem::path& file,
                          const std::filesystem::path& second = {}) {
  return output_of(
      "/usr/bin/python3 -c 'import sys; from PIL import Image, ImageOps; im = Image.open(sys.argv[1]); " +
      code + "' '" + file.string() + "' '" + second.string() + "'");
}

}  // namespace powderplan::testing
