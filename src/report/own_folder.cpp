#include "report/own_folder.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <string>
#include <system_error>

#include "problem.h"
#include "report/whole_folder.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

// Of its kind, or empty.
void need_kind(const fs::path& folder, const FolderKind& kind) {
  const auto refuse = [&](const std::string& wrong) {
    throw Problem(ProblemKind::command_line, folder.string(), wrong,
                  fmt::format("choose another name for the {}", kind.name));
  };
  std::error_code error;
  if (!fs::is_directory(folder, error))
    refuse("is there and is no folder");
  bool empty = true, known = false;
  for (const fs::directory_entry& entry : fs::directory_iterator(folder)) {
    const std::string name = entry.path().filename().string();
    const bool of_a_desktop = name == ".DS_Store" || name == "Thumbs.db" || name == "desktop.ini";
    if (!of_a_desktop && std::find(kind.entries.begin(), kind.entries.end(), name) == kind.entries.end())
      refuse(fmt::format("holds \"{}\", which is no part of a {}, and so is not replaced", name, kind.name));
    empty = false;
    known = known || name == kind.mark;
  }
  if (!empty && !known)
    refuse(fmt::format("is there and is no {}: it has no {}", kind.name, kind.mark));
}

}  // namespace

void check_own_folder(const fs::path& folder, bool replace, const FolderKind& kind) {
  const fs::path full = full_folder_path(folder);
  std::error_code error;
  if (fs::exists(fs::symlink_status(full, error))) {
    if (!replace)
      throw Problem(ProblemKind::command_line, full.string(), "is already there",
                    "choose another name, or say --replace");
    need_kind(full, kind);
  }
  if (::access(full.parent_path().c_str(), W_OK | X_OK) != 0)
    throw Problem(ProblemKind::other, full.parent_path().string(),
                  "cannot be written (" + std::generic_category().message(errno) + ")",
                  "choose another place with --out, or change its permissions");
  // Some places look writable and are not: only a try tells. What it makes is gone at once.
  const WholeFolder tried(full);
}

}  // namespace powderplan
