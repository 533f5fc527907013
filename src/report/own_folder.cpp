#include "report/own_folder.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <string>
#include <system_error>

#include "problem.h"
#include "raster/write_bytes.h"
#include "report/put_in_place.h"
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
  for (fs::directory_iterator at(folder, error), end; !error && at != end; at.increment(error)) {
    const std::string name = at->path().filename().string();
    const bool of_a_desktop = name == ".DS_Store" || name == "Thumbs.db" || name == "desktop.ini";
    if (!of_a_desktop && std::find(kind.entries.begin(), kind.entries.end(), name) == kind.entries.end())
      refuse(fmt::format("holds \"{}\", which is no part of a {}, and so is not replaced", name, kind.name));
    empty = false;
    known = known || name == kind.mark;
  }
  if (error)
    refuse(fmt::format("is there and cannot be looked into ({})", error.message()));
  if (!empty && !known)
    refuse(fmt::format("is there and is no {}: it has no {}", kind.name, kind.mark));
}

}  // namespace

OwnPlace check_own_folder(const fs::path& folder, bool replace, const FolderKind& kind) {
  const fs::path full = full_folder_path(folder);
  put_back_what_was_aside(full);
  OwnPlace place{full, FoundPlace(full)};
  if (place.found.was_there()) {
    if (!replace)
      throw Problem(ProblemKind::command_line, full.string(), "is already there",
                    "choose another name, or say --replace");
    need_kind(full, kind);
  }
  if (::access(full.parent_path().c_str(), W_OK | X_OK) != 0)
    throw write_problem(full.parent_path(), {errno, std::generic_category()},
                        "choose another place with --out, or change its permissions");
  // Some places look writable and are not: only a try tells. What it makes is gone at once.
  const WholeFolder tried(full);
  return place;
}

void check_again(const OwnPlace& place, const FolderKind& kind) {
  if (!place.found.need_untouched())
    need_kind(place.folder, kind);
}

std::vector<std::uint8_t> bytes_of(const std::string& text) {
  return {text.begin(), text.end()};
}

std::string write_own_folder(const OwnPlace& place, const FolderKind& kind, const std::vector<OwnFile>& files,
                             const std::function<void()>& may_go_on) {
  const auto go_on = [&] {
    if (may_go_on)
      may_go_on();
  };
  WholeFolder whole(place.folder);
  for (const OwnFile& file : files) {
    go_on();
    whole.write(file.name, file.make());
  }
  go_on();
  check_again(place, kind);
  if (const auto left = whole.commit(place.found))
    return fmt::format("the {} that was there before could not be removed; it lies in {} now", kind.name,
                       left->string());
  return "";
}

}  // namespace powderplan
