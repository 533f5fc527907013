#include "report/kept_file.h"

#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <charconv>
#include <system_error>

#include "problem.h"
#include "raster/write_bytes.h"
#include "report/files.h"
#include "report/whole_file.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

constexpr const char* otherwise = "change its permissions, or work on a copy of it";

[[noreturn]] void cannot_write(const fs::path& place, int error) {
  throw write_problem(place, {error, std::generic_category()}, otherwise);
}

// The file itself, where it is a link.
fs::path target_of(const fs::path& file) {
  std::error_code error;
  const fs::path target = fs::canonical(file, error);
  if (error)
    throw Problem(ProblemKind::input, file.string(), fmt::format("cannot be found ({})", error.message()),
                  "check the name and the folder");
  if (!fs::is_regular_file(target, error))
    throw Problem(ProblemKind::input, file.string(), "is no file", "name a file");
  return target;
}

std::string kept_prefix(const fs::path& target) {
  return target.stem().string() + ".before-";
}

// One more than the highest that is there.
unsigned next_number(const fs::path& target) {
  const std::string prefix = kept_prefix(target), ending = target.extension().string();
  unsigned highest = 0;
  std::error_code error;
  for (fs::directory_iterator at(target.parent_path(), error), end; !error && at != end;
       at.increment(error)) {
    const std::string name = at->path().filename().string();
    if (name.size() <= prefix.size() + ending.size() || !name.starts_with(prefix) || !name.ends_with(ending))
      continue;
    const char *from = name.data() + prefix.size(), *to = name.data() + name.size() - ending.size();
    unsigned number = 0;
    const auto [stopped, fault] = std::from_chars(from, to, number);
    if (fault == std::errc() && stopped == to)
      highest = std::max(highest, number);
  }
  return highest + 1;
}

// A new file of the next free number, gone again unless it is to stay.
class KeptCopy {
 public:
  KeptCopy(const fs::path& target, const std::vector<std::uint8_t>& bytes, mode_t mode) {
    constexpr unsigned most_tries = 1000;
    const unsigned first = next_number(target);
    const auto numbered = [&](unsigned number) {
      return target.parent_path() /
             fmt::format("{}{}{}", kept_prefix(target), number, target.extension().string());
    };
    WholeFile copy(numbered(first), bytes);
    (void)!::chmod(copy.path().c_str(), mode & 0777u);
    for (unsigned i = 0; i < most_tries; ++i) {
      const fs::path name = numbered(first + i);
      if (!copy.put_where_free(name))
        continue;
      path_ = name;
      there_ = true;
      return;
    }
    throw write_problem(numbered(first), std::make_error_code(std::errc::file_exists), otherwise);
  }
  ~KeptCopy() {
    std::error_code ignored;
    if (there_)
      fs::remove(path_, ignored);
  }
  KeptCopy(const KeptCopy&) = delete;
  KeptCopy& operator=(const KeptCopy&) = delete;

  fs::path stay() {
    there_ = false;
    return path_;
  }

 private:
  fs::path path_;
  bool there_ = false;
};

}  // namespace

void check_can_replace(const fs::path& file) {
  const fs::path target = target_of(file);
  struct stat facts = {};
  if (::stat(target.c_str(), &facts) != 0)
    cannot_write(target, errno);
  // Even for those who may write everything, a file that nobody is to write means something.
  if ((facts.st_mode & (S_IWUSR | S_IWGRP | S_IWOTH)) == 0)
    throw Problem(ProblemKind::other, target.string(), "is read-only",
                  "make it writable if it is to be changed, or work on a copy of it");
  if (::access(target.c_str(), W_OK) != 0)
    cannot_write(target, errno);
  const fs::path folder = target.parent_path();
  if (::access(folder.c_str(), W_OK | X_OK) != 0)
    cannot_write(folder, errno);
}

fs::path replace_keeping(const fs::path& file, const std::vector<std::uint8_t>& before,
                         const std::vector<std::uint8_t>& bytes, const std::function<void()>& may_go_on) {
  check_can_replace(file);
  const fs::path target = target_of(file);
  const auto unchanged = [&] {
    if (read_file(target) != before)
      throw Problem(ProblemKind::input, file.string(), "has been changed meanwhile by somebody else",
                    "run this again");
  };
  unchanged();
  struct stat facts = {};
  if (::stat(target.c_str(), &facts) != 0)
    cannot_write(target, errno);
  KeptCopy kept(target, before, facts.st_mode);
  WholeFile whole(target, bytes);
  // What it may be used for is the lesser matter, and is tried only.
  (void)!::chmod(whole.path().c_str(), facts.st_mode & 07777u);
  unchanged();
  if (may_go_on)
    may_go_on();
  whole.put_over();
  return kept.stay();
}

}  // namespace powderplan
