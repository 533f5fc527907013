// A folder that appears by one step when everything in it is done and on the disk.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "report/found_place.h"
#include "report/partial.h"

namespace powderplan {

class WholeFolder {
 public:
  // Makes the sibling ".NAME.partial-XXXXXX" of the folder to come, and removes such siblings whose makers
  // are no longer alive. Throws Problem (other) when the parent is missing or cannot be written. What has not
  // been committed goes with this.
  explicit WholeFolder(const std::filesystem::path& folder);

  // Where it lies meanwhile.
  [[nodiscard]] const std::filesystem::path& path() const { return partial_.path(); }

  // Writes a file into it; the name may begin with those of folders in it ("pictures/1.png"). From several
  // threads. Throws Problem (other), its place in the folder to come, when the disk does not take it.
  void write(const std::string& name, const std::vector<std::uint8_t>& bytes) const;

  // Puts the folder in its place. What was found there is swapped out and removed; where anything else has
  // come there meanwhile, that stays (Problem, other). When the old one cannot be removed after the swap,
  // returns where it lies now.
  std::optional<std::filesystem::path> commit(const FoundPlace& found);

 private:
  std::filesystem::path folder_;
  Partial partial_;
};

// The folder with its parent spelled out; links are followed, "plan/" and "." are understood. Throws Problem
// (command_line) when it has no name of its own ("/"), (other) when its parent is not there.
std::filesystem::path full_folder_path(const std::filesystem::path& folder);

}  // namespace powderplan
