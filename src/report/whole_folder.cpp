#include "report/whole_folder.h"

#include <cerrno>
#include <system_error>

#include "problem.h"
#include "raster/write_bytes.h"
#include "report/folder_lock.h"
#include "report/put_in_place.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

constexpr const char* otherwise = "choose another place with --out, or change its permissions";

// The names in it and in all its folders; the files' bytes are on the disk already.
std::error_code flush_names(const fs::path& folder) {
  std::error_code error;
  for (fs::recursive_directory_iterator at(folder, error), end; !error && at != end; at.increment(error))
    if (at->is_directory(error) && !error)
      error = flush_folder(at->path());
  return error ? error : flush_folder(folder);
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

WholeFolder::WholeFolder(const fs::path& folder)
    : folder_(full_folder_path(folder)), partial_(folder_, PartialKind::folder, otherwise) {}

void WholeFolder::write(const std::string& name, const std::vector<std::uint8_t>& bytes) const {
  const fs::path file = path() / name;
  std::error_code error;
  fs::create_directories(file.parent_path(), error);
  if (!error)
    error = try_write_bytes(file, bytes);
  if (error)
    throw write_problem(folder_ / name, error, otherwise);
}

std::optional<fs::path> WholeFolder::commit(const FoundPlace& found) {
  std::error_code error = flush_names(path());
  if (error)
    throw write_problem(folder_, error, otherwise);
  {
    const FolderLocks lock({folder_});
    const bool free = found.need_untouched();
    error = free ? move_to_free(path(), folder_) : swap_places(path(), folder_);
    if (error.value() == EEXIST || error.value() == ENOTEMPTY)
      found.refuse();
    if (error)
      throw write_problem(folder_, error, otherwise);
    // Where there are no locks, something may have come after the look.
    if (!free && !found.lies_at(path())) {
      if (const std::error_code stuck = swap_places(path(), folder_))
        throw write_problem(folder_, stuck, otherwise);
      found.refuse();
    }
    // It is in its place, whole; how soon the disk knows is the lesser matter.
    (void)flush_folder(folder_.parent_path());
    if (free) {
      partial_.let_go();
      return std::nullopt;
    }
  }
  // The old one.
  const fs::path old = path();
  fs::remove_all(old, error);
  partial_.let_go();
  return error ? std::optional(old) : std::nullopt;
}

}  // namespace powderplan
