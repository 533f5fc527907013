// A file that appears by one rename when all of it is on the disk.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <vector>

namespace powderplan {

// Where a file would go, checked before any work is done. Throws Problem (command_line): its name does not
// end in `ending`, or something is there and `replace` is false, or it is there and no file; (other): the
// folder that would hold it is missing or cannot be written.
void check_whole_file(const std::filesystem::path& file, std::string_view ending, bool replace);

// Writes a sibling ".NAME.partial-PROCESS" and renames it. `may_go_on` is called before the rename; when it
// throws, or the disk does not take the file (Problem, other), nothing is left behind.
void write_whole_file(const std::filesystem::path& file, const std::vector<std::uint8_t>& bytes,
                      const std::function<void()>& may_go_on = {});

}  // namespace powderplan
