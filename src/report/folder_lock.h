// Runs of this program that put something into one folder take turns.
#pragma once

#include <filesystem>
#include <vector>

namespace powderplan {

class FolderLocks {
 public:
  // Locks the folders that hold these places, links followed, each once however many of them it holds. Waits
  // while other runs have them, some seconds at most, and then throws Problem (other). Where a folder cannot
  // be read or its file system has no locks, the work goes on without.
  explicit FolderLocks(const std::vector<std::filesystem::path>& places);
  ~FolderLocks();
  FolderLocks(const FolderLocks&) = delete;
  FolderLocks& operator=(const FolderLocks&) = delete;

 private:
  std::vector<int> held_;
};

}  // namespace powderplan
