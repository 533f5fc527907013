#include "report/whole_file.h"

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <system_error>

#include "problem.h"
#include "raster/write_bytes.h"
#include "report/folder_lock.h"
#include "report/put_in_place.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

constexpr const char* otherwise = "choose another place, or change its permissions";

}  // namespace

FoundPlace check_whole_file(const fs::path& file, std::string_view ending, bool replace) {
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
    throw write_problem(folder, {errno, std::generic_category()}, otherwise);
  return FoundPlace(file);
}

WholeFile::WholeFile(const fs::path& file, const std::vector<std::uint8_t>& bytes)
    : file_(file), partial_(file, PartialKind::file, otherwise) {
  if (const std::error_code error = try_write_bytes(path(), bytes))
    throw write_problem(file_, error, otherwise);
}

void WholeFile::put(const FoundPlace& found) {
  if (!found.need_untouched())
    return put_over();
  if (!put_where_free(file_))
    found.refuse();
}

bool WholeFile::put_where_free(const fs::path& name) {
  const std::error_code error = move_to_free(path(), name);
  if (error.value() == EEXIST)
    return false;
  if (error)
    throw write_problem(name, error, otherwise);
  partial_.let_go();
  (void)flush_folder(folder_of(name));
  return true;
}

void WholeFile::put_over() {
  std::error_code error;
  fs::rename(path(), file_, error);
  if (error)
    throw write_problem(file_, error, otherwise);
  partial_.let_go();
  // It is in its place, whole; how soon the disk knows is the lesser matter.
  (void)flush_folder(folder_of(file_));
}

void write_whole_file(const fs::path& file, const FoundPlace& found, const std::vector<std::uint8_t>& bytes,
                      const std::function<void()>& may_go_on) {
  WholeFile whole(file, bytes);
  if (may_go_on)
    may_go_on();
  const FolderLocks lock({file});
  whole.put(found);
}

}  // namespace powderplan
