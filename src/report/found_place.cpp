#include "report/found_place.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>
#include <utility>

#include "problem.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

bool is_missing(int code) {
  return code == ENOENT || code == ENOTDIR;
}

}  // namespace

FoundPlace::FoundPlace(fs::path place) : place_(std::move(place)) {
  // The number of a file is given to another one only when nobody holds it any more.
  held_ = ::open(place_.c_str(), O_PATH | O_NOFOLLOW | O_CLOEXEC);
  if (held_ < 0 && !is_missing(errno))
    throw Problem(ProblemKind::other, place_.string(),
                  "cannot be looked at (" + std::generic_category().message(errno) + ")",
                  "choose another place, or change the permissions of its folders");
}

FoundPlace::~FoundPlace() {
  if (held_ >= 0)
    ::close(held_);
}

FoundPlace::FoundPlace(FoundPlace&& other) noexcept
    : place_(std::move(other.place_)), held_(std::exchange(other.held_, -1)) {}

bool FoundPlace::lies_at(const fs::path& where) const {
  struct stat found = {}, now = {};
  return held_ >= 0 && ::fstat(held_, &found) == 0 && ::lstat(where.c_str(), &now) == 0 &&
         found.st_dev == now.st_dev && found.st_ino == now.st_ino;
}

bool FoundPlace::need_untouched() const {
  struct stat now = {};
  if (::lstat(place_.c_str(), &now) != 0 && is_missing(errno))
    return true;
  if (!lies_at(place_))
    refuse();
  return false;
}

void FoundPlace::refuse() const {
  throw Problem(ProblemKind::other, place_.string(),
                "was put there by another run or by somebody else while this one was at work, and stays",
                "look at it; then choose another name, or run this again with --replace");
}

}  // namespace powderplan
