#include "report/whole_folder.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <unistd.h>

#include <random>
#include <system_error>

#include "problem.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

// A lock on a folder of ours; -1 when another process holds it or it is gone.
int lock_folder(const fs::path& folder) {
  const int file = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC | O_NOFOLLOW);
  if (file < 0)
    return -1;
  if (::flock(file, LOCK_EX | LOCK_NB) == 0)
    return file;
  ::close(file);
  return -1;
}

std::string sibling_prefix(const fs::path& folder, std::string_view what) {
  return fmt::format(".{}.{}-", folder.filename().string(), what);
}

fs::path sibling(const fs::path& folder, std::string_view what) {
  std::random_device chance;
  return folder.parent_path() / fmt::format("{}{:06x}", sibling_prefix(folder, what), chance() & 0xffffffu);
}

// Whoever holds no lock on its partial folder any more was killed.
void clear_abandoned(const fs::path& folder) {
  const std::string prefix = sibling_prefix(folder, "partial");
  std::error_code error;
  for (fs::directory_iterator at(folder.parent_path(), error), end; !error && at != end;
       at.increment(error)) {
    const std::string name = at->path().filename().string();
    if (!name.starts_with(prefix) || name.size() != prefix.size() + 6)
      continue;
    const int lock = lock_folder(at->path());
    if (lock < 0)
      continue;
    std::error_code ignored;
    fs::remove_all(at->path(), ignored);
    ::close(lock);
  }
}

[[noreturn]] void cannot_write(const fs::path& place, const std::error_code& error) {
  throw Problem(ProblemKind::other, place.string(), "cannot be written (" + error.message() + ")",
                "choose another place with --out, or change its permissions");
}

}  // namespace

fs::path full_folder_path(const fs::path& folder) {
  fs::path full = fs::absolute(folder).lexically_normal();
  if (!full.has_filename())  // ends in a slash
    full = full.parent_path();
  if (!full.has_filename())
    throw Problem(ProblemKind::command_line, folder.string(), "is no name for a plan folder",
                  "name a new folder, e.g. --out plan");
  std::error_code error;
  if (fs::is_symlink(full, error) && fs::exists(full, error))
    full = fs::canonical(full, error);
  if (!fs::is_directory(full.parent_path(), error))
    throw Problem(ProblemKind::other, full.parent_path().string(), "is no folder",
                  "make it first, or choose another place for it");
  return full;
}

WholeFolder::WholeFolder(const fs::path& folder) : folder_(full_folder_path(folder)) {
  clear_abandoned(folder_);
  constexpr int most_tries = 16;
  for (int i = 0; i < most_tries; ++i) {
    partial_ = sibling(folder_, "partial");
    std::error_code error;
    const bool made = fs::create_directory(partial_, error);
    if (error)
      cannot_write(folder_.parent_path(), error);
    if (!made)
      continue;
    lock_ = lock_folder(partial_);
    if (lock_ >= 0 && fs::exists(partial_, error))
      return;
  }
  throw Problem(ProblemKind::other, folder_.parent_path().string(), "no temporary folder can be made in it",
                "choose another place with --out");
}

WholeFolder::~WholeFolder() {
  std::error_code ignored;
  if (!partial_.empty())
    fs::remove_all(partial_, ignored);
  if (lock_ >= 0)
    ::close(lock_);
}

std::optional<fs::path> WholeFolder::commit(bool replace) {
  std::error_code error;
  std::optional<fs::path> aside;
  if (fs::exists(fs::symlink_status(folder_, error))) {
    if (!replace)
      throw Problem(ProblemKind::command_line, folder_.string(), "is already there",
                    "choose another name, or say --replace");
    aside = sibling(folder_, "old");
    fs::rename(folder_, *aside, error);
    if (error)
      cannot_write(folder_, error);
  }
  fs::rename(partial_, folder_, error);
  if (error) {
    std::error_code ignored;
    if (aside)
      fs::rename(*aside, folder_, ignored);
    cannot_write(folder_, error);
  }
  partial_.clear();
  if (!aside)
    return std::nullopt;
  fs::remove_all(*aside, error);
  return error ? aside : std::nullopt;
}

}  // namespace powderplan
