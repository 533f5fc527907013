#include "report/folder_lock.h"

#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>
#include <chrono>
#include <set>
#include <system_error>
#include <thread>

#include "problem.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

constexpr auto longest_wait = std::chrono::seconds(20);
constexpr auto between_tries = std::chrono::milliseconds(5);

void lock(int file, const fs::path& folder) {
  const auto end = std::chrono::steady_clock::now() + longest_wait;
  while (::flock(file, LOCK_EX | LOCK_NB) != 0) {
    if (errno != EWOULDBLOCK && errno != EINTR)
      return;  // there are no locks here
    if (std::chrono::steady_clock::now() > end)
      throw Problem(ProblemKind::other, folder.string(), "is being written into by another run",
                    "wait until that is done, and run this again");
    std::this_thread::sleep_for(between_tries);
  }
}

}  // namespace

FolderLocks::FolderLocks(const std::vector<fs::path>& places) {
  std::set<fs::path> folders;  // in an order that is the same for all, so that no two wait for each other
  for (const fs::path& place : places) {
    std::error_code error;
    const fs::path real = fs::weakly_canonical(fs::absolute(place), error);
    folders.insert((error ? fs::absolute(place) : real).parent_path());
  }
  try {
    for (const fs::path& folder : folders) {
      const int file = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
      if (file < 0)
        continue;
      held_.push_back(file);
      lock(file, folder);
    }
  } catch (...) {
    for (const int file : held_)
      ::close(file);
    throw;
  }
}

FolderLocks::~FolderLocks() {
  for (const int file : held_)
    ::close(file);
}

}  // namespace powderplan
