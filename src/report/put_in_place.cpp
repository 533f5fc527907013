#include "report/put_in_place.h"

#include <fcntl.h>
#include <stdio.h>

#include <cerrno>
#include <string_view>
#include <vector>

#include "report/folder_lock.h"
#include "report/partial.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view aside = "old";

std::error_code renamed(const fs::path& from, const fs::path& to, unsigned how) {
  if (::renameat2(AT_FDCWD, from.c_str(), AT_FDCWD, to.c_str(), how) == 0)
    return {};
  return {errno, std::generic_category()};
}

bool is_unknown_here(const std::error_code& error) {
  return error.value() == EINVAL || error.value() == ENOSYS || error.value() == ENOTSUP;
}

bool is_there(const fs::path& place) {
  std::error_code error;
  return fs::exists(fs::symlink_status(place, error));
}

}  // namespace

std::error_code move_to_free(const fs::path& ready, const fs::path& place) {
  std::error_code error = renamed(ready, place, RENAME_NOREPLACE);
  if (!is_unknown_here(error))
    return error;
  if (is_there(place))
    return std::make_error_code(std::errc::file_exists);
  fs::rename(ready, place, error);
  return error;
}

std::error_code swap_places(const fs::path& ready, const fs::path& place) {
  std::error_code error = renamed(ready, place, RENAME_EXCHANGE);
  if (!is_unknown_here(error))
    return error;
  const fs::path old = hidden_sibling(place, aside);
  fs::rename(place, old, error);
  if (error)
    return error;
  fs::rename(ready, place, error);
  std::error_code ignored;
  fs::rename(old, error ? place : ready, ignored);
  return error;
}

void put_back_what_was_aside(const fs::path& place) {
  const auto wanted = [&](std::string_view name) { return name == place.filename().string(); };
  std::vector<fs::path> left;
  for_each_hidden(folder_of(place), aside, wanted, [&](const fs::path& old) { left.push_back(old); });
  if (left.empty())
    return;
  const FolderLocks lock({place});
  for (const fs::path& old : left) {
    std::error_code ignored;
    // Either it was never replaced, or the new one is in its place, whole.
    if (!is_there(place))
      fs::rename(old, place, ignored);
    else
      fs::remove_all(old, ignored);
  }
}

}  // namespace powderplan
