#include "report/inside_folder.h"

#include <fmt/format.h>

#include <algorithm>
#include <system_error>

#include "problem.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

bool begins_with(const fs::path& path, const fs::path& folder) {
  return std::mismatch(folder.begin(), folder.end(), path.begin(), path.end()).first == folder.end();
}

}  // namespace

bool stays_inside(const std::string& name) {
  const fs::path path(name);
  return !path.empty() && !path.is_absolute() && name.find('\0') == std::string::npos &&
         std::find(path.begin(), path.end(), "..") == path.end();
}

fs::path file_inside(const fs::path& folder, const std::string& name) {
  const fs::path file = folder / name;
  const auto refuse = [&](const std::string& wrong, const std::string& remedy) {
    throw Problem(ProblemKind::input, file.string(), wrong, remedy);
  };
  if (!stays_inside(name))
    throw Problem(ProblemKind::input, folder.string(),
                  fmt::format("names the file \"{}\", which lies outside of it", name),
                  "make the folder again");
  std::error_code error;
  if (!fs::exists(fs::symlink_status(file, error)))
    return file;
  const fs::path real = fs::canonical(file, error),
                 real_folder = error ? fs::path() : fs::canonical(folder, error);
  if (error)
    refuse(fmt::format("cannot be looked at ({})", error.message()), "make the folder again");
  if (!begins_with(real, real_folder))
    refuse("is a link to a place outside of the folder",
           "put the file itself there, or make the folder again");
  if (!fs::is_regular_file(real, error))
    refuse("is no file", "make the folder again");
  return file;
}

}  // namespace powderplan
