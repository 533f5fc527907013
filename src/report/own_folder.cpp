#include "report/own_folder.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <string>
#include <system_error>

#include "problem.h"
#include "raster/write_bytes.h"
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

std::vector<std::uint8_t> bytes_of(const std::string& text) {
  return {text.begin(), text.end()};
}

std::string write_own_folder(const fs::path& folder, bool replace, const FolderKind& kind,
                             const std::vector<OwnFile>& files, const std::function<void()>& may_go_on) {
  check_own_folder(folder, replace, kind);
  const auto go_on = [&] {
    if (may_go_on)
      may_go_on();
  };
  WholeFolder whole(folder);
  for (const OwnFile& file : files) {
    go_on();
    std::error_code failed;
    fs::create_directories((whole.path() / file.name).parent_path(), failed);
    if (failed)
      throw Problem(ProblemKind::other, folder.string(), "cannot be written (" + failed.message() + ")",
                    "free some space or choose another place with --out");
    write_bytes(whole.path() / file.name, file.make());
  }
  go_on();
  // Once more: somebody may have written there meanwhile.
  check_own_folder(folder, replace, kind);
  if (const auto left = whole.commit(replace))
    return fmt::format("the {} that was there before could not be removed; it lies in {} now", kind.name,
                       left->string());
  return "";
}

}  // namespace powderplan
