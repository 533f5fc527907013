// A folder that appears by one rename when everything in it is done.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

namespace powderplan {

class WholeFolder {
 public:
  // Makes the sibling ".NAME.partial-XXXX" of the folder to come, and removes such siblings whose makers are
  // no longer alive. Throws Problem (other) when the parent is missing or cannot be written.
  explicit WholeFolder(const std::filesystem::path& folder);
  // Removes what has not been committed.
  ~WholeFolder();
  WholeFolder(const WholeFolder&) = delete;
  WholeFolder& operator=(const WholeFolder&) = delete;

  // Where to write meanwhile.
  [[nodiscard]] const std::filesystem::path& path() const { return partial_; }

  // Puts the folder in its place. What is there already is swapped out and removed when `replace` is true;
  // otherwise that is a Problem (command_line). When the old one cannot be removed after the swap, returns
  // where it lies now.
  std::optional<std::filesystem::path> commit(bool replace);

 private:
  std::filesystem::path folder_, partial_;
  int lock_ = -1;  // held on partial_ as long as this lives
};

// The folder with its parent spelled out; links are followed, "plan/" and "." are understood. Throws Problem
// (command_line) when it has no name of its own ("/"), (other) when its parent is not there.
std::filesystem::path full_folder_path(const std::filesystem::path& folder);

}  // namespace powderplan
