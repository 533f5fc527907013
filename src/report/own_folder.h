// Folders that this program writes, told from everybody else's.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "report/found_place.h"

namespace powderplan {

struct FolderKind {
  std::string_view name;                      // "plan", as it is called in messages
  std::string_view mark;                      // the file by which it is known: "plan.json"
  std::span<const std::string_view> entries;  // all that it may hold at its top; the mark among them
};

// Where such a folder is to go, and what was there when that was looked at.
struct OwnPlace {
  std::filesystem::path folder;
  FoundPlace found;
};

// Where such a folder would go, checked before any work is done. Throws Problem
// (command_line): something is there and `replace` is false, or it is there and no such folder: one with
// anything else in it is never replaced, it may be somebody's work;
// (other): the folder that would hold it is missing or cannot be written.
OwnPlace check_own_folder(const std::filesystem::path& folder, bool replace, const FolderKind& kind);
// Once more when the work is done: somebody may have written there meanwhile.
void check_again(const OwnPlace& place, const FolderKind& kind);

// A file of such a folder; its name may begin with the name of a folder in it ("pictures/1.png").
struct OwnFile {
  std::string name;
  std::function<std::vector<std::uint8_t>()> make;
};
std::vector<std::uint8_t> bytes_of(const std::string& text);

// Writes a folder of few files, whole or not at all, in the place of what was found there. `may_go_on` is
// called before each file is made; when it throws, nothing is left. Returns a note where what was there
// before could not be removed, or nothing. Throws Problem (other) when the disk does not take it, or anything
// else has come to its place meanwhile.
std::string write_own_folder(const OwnPlace& place, const FolderKind& kind, const std::vector<OwnFile>& files,
                             const std::function<void()>& may_go_on = {});

}  // namespace powderplan
