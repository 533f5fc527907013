#include "report/whole_file.h"

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>

#include "problem.h"
#include "raster/write_bytes.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

// Gone when the work ends, whichever way.
class Partial {
 public:
  explicit Partial(const fs::path& file)
      : path_(file.parent_path() / fmt::format(".{}.partial-{}", file.filename().string(), ::getpid())) {
    remove();  // left by a run that was killed
  }
  ~Partial() { remove(); }
  Partial(const Partial&) = delete;
  Partial& operator=(const Partial&) = delete;
  [[nodiscard]] const fs::path& path() const { return path_; }

 private:
  void remove() const {
    std::error_code ignored;
    fs::remove(path_, ignored);
  }
  fs::path path_;
};

}  // namespace

void check_whole_file(const fs::path& file, std::string_view ending, bool replace) {
  const auto refuse = [&](std::string wrong, std::string remedy) {
    throw Problem(ProblemKind::command_line, file.string(), std::move(wrong), std::move(remedy));
  };
  if (file.extension() != ending)
    refuse(fmt::format("does not end in {}", ending), "choose another name");
  std::error_code error;
  const fs::file_status status = fs::status(file, error);
  if (fs::exists(status) && !fs::is_regular_file(status))
    refuse("is there and is no file", "choose another name");
  if (fs::exists(status) && !replace)
    refuse("is already there", "choose another name, or say --replace");
  const fs::path folder = fs::absolute(file).parent_path();
  if (!fs::is_directory(folder, error))
    throw Problem(ProblemKind::other, folder.string(), "is no folder",
                  "make it first, or choose another place");
  if (::access(folder.c_str(), W_OK | X_OK) != 0)
    throw Problem(ProblemKind::other, folder.string(),
                  "cannot be written (" + std::generic_category().message(errno) + ")",
                  "choose another place, or change its permissions");
}

void write_whole_file(const fs::path& file, const std::vector<std::uint8_t>& bytes,
                      const std::function<void()>& may_go_on) {
  const Partial partial(file);
  write_new_file(partial.path(), bytes);
  if (may_go_on)
    may_go_on();
  std::error_code error;
  fs::rename(partial.path(), file, error);
  if (error)
    throw Problem(ProblemKind::other, file.string(), "cannot be written (" + error.message() + ")",
                  "choose another place, or change its permissions");
}

}  // namespace powderplan
