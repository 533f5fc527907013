// Folders that this program writes, told from everybody else's.
#pragma once

#include <filesystem>
#include <span>
#include <string_view>

namespace powderplan {

struct FolderKind {
  std::string_view name;                      // "plan", as it is called in messages
  std::string_view mark;                      // the file by which it is known: "plan.json"
  std::span<const std::string_view> entries;  // all that it may hold at its top; the mark among them
};

// Where such a folder would go, checked before any work is done. Throws Problem
// (command_line): something is there and `replace` is false, or it is there and no such folder: one with
// anything else in it is never replaced, it may be somebody's work;
// (other): the folder that would hold it is missing or cannot be written.
void check_own_folder(const std::filesystem::path& folder, bool replace, const FolderKind& kind);

}  // namespace powderplan
