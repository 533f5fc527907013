// Files of a folder that this program once wrote, and that may have gone through many hands since.
#pragma once

#include <filesystem>
#include <string>

namespace powderplan {

// Whether a name that stands in one of the folder's files can be that of a file in it: neither absolute nor
// by way of "..".
bool stays_inside(const std::string& name);

// The file `name` of the folder, to be read. What the user named is the folder, so nothing outside of it is
// opened: throws Problem (input), its place the file or the folder, when the name does not stay inside or
// leads out by a link, and when there is something else than a file, such as a pipe. That the file is missing
// is left to whoever reads it.
std::filesystem::path file_inside(const std::filesystem::path& folder, const std::string& name);

}  // namespace powderplan
