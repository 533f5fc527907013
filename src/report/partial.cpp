#include "report/partial.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <random>
#include <system_error>
#include <vector>

#include "raster/write_bytes.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t digits = 6;
constexpr std::string_view partial = "partial";

// Makes it and holds it open; -1 where that fails, errno says why.
int made(const fs::path& path, PartialKind kind) {
  constexpr int usual = O_CLOEXEC | O_NOFOLLOW;
  if (kind == PartialKind::file)
    return ::open(path.c_str(), O_RDWR | O_CREAT | O_EXCL | usual, 0666);
  if (::mkdir(path.c_str(), 0777) != 0)
    return -1;
  const int folder = ::open(path.c_str(), O_RDONLY | O_DIRECTORY | usual);
  if (folder < 0) {
    const int error = errno;
    ::rmdir(path.c_str());
    errno = error;
  }
  return folder;
}

}  // namespace

fs::path folder_of(const fs::path& place) {
  const fs::path folder = place.parent_path();
  return folder.empty() ? fs::path(".") : folder;
}

fs::path hidden_sibling(const fs::path& place, std::string_view what) {
  std::random_device chance;
  return folder_of(place) /
         fmt::format(".{}.{}-{:0{}x}", place.filename().string(), what, chance() & 0xffffffu, digits);
}

void for_each_hidden(const fs::path& folder, std::string_view what,
                     const std::function<bool(std::string_view)>& wanted,
                     const std::function<void(const fs::path&)>& found) {
  const std::string middle = fmt::format(".{}-", what);
  std::vector<fs::path> all;  // before anything in the folder changes
  std::error_code error;
  for (fs::directory_iterator at(folder, error), end; !error && at != end; at.increment(error)) {
    const std::string file = at->path().filename().string();
    if (file.size() <= 1 + middle.size() + digits || file.front() != '.')
      continue;
    const std::size_t name_end = file.size() - digits - middle.size();
    const std::string_view name = std::string_view(file).substr(1, name_end - 1);
    const bool numbered = std::all_of(file.end() - digits, file.end(), [](char c) {
      return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f');
    });
    if (numbered && file.compare(name_end, middle.size(), middle) == 0 && wanted(name))
      all.push_back(at->path());
  }
  for (const fs::path& path : all)
    found(path);
}

void clear_abandoned(const fs::path& folder, const std::function<bool(std::string_view)>& wanted) {
  for_each_hidden(folder, partial, wanted, [](const fs::path& path) {
    const int file = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK);
    if (file < 0)
      return;
    std::error_code ignored;
    if (::flock(file, LOCK_EX | LOCK_NB) == 0)
      fs::remove_all(path, ignored);
    ::close(file);
  });
}

Partial::Partial(const fs::path& place, PartialKind kind, const std::string& otherwise) {
  clear_abandoned(folder_of(place), [&](std::string_view name) { return name == place.filename().string(); });
  constexpr int most_tries = 16;
  int error = 0;
  for (int i = 0; i < most_tries; ++i) {
    path_ = hidden_sibling(place, partial);
    lock_ = made(path_, kind);
    error = lock_ < 0 ? errno : 0;
    // Somebody who clears up may have come before the lock. Where there are no locks, nobody does.
    std::error_code ignored;
    if (error == 0 && (::flock(lock_, LOCK_EX | LOCK_NB) == 0 || errno != EWOULDBLOCK) &&
        fs::exists(path_, ignored))
      return;
    if (lock_ >= 0)
      ::close(lock_);
    if (error != 0 && error != EEXIST && error != ENOENT)
      break;
  }
  throw write_problem(fs::absolute(place).lexically_normal().parent_path(),
                      {error != 0 ? error : EBUSY, std::generic_category()}, otherwise);
}

Partial::~Partial() {
  std::error_code ignored;
  if (!path_.empty())
    fs::remove_all(path_, ignored);
  if (lock_ >= 0)
    ::close(lock_);
}

}  // namespace powderplan
