#include "raster/write_bytes.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>

namespace powderplan {
namespace {

std::error_code system_says(int code) {
  return {code, std::generic_category()};
}

// What was begun is no file anyone wants; a device is not ours to remove.
void remove_remains(const std::filesystem::path& file) {
  std::error_code ignored;
  if (std::filesystem::is_regular_file(file, ignored))
    std::filesystem::remove(file, ignored);
}

// 0, or what the system says.
int flush(int file) {
  if (::fsync(file) == 0)
    return 0;
  // Pipes, devices and some file systems have nothing to flush.
  return errno == EINVAL || errno == ENOTSUP || errno == ENOSYS || errno == EROFS ? 0 : errno;
}

int write_all(int file, const std::vector<std::uint8_t>& bytes) {
  for (std::size_t done = 0; done < bytes.size();) {
    const ssize_t wrote = ::write(file, bytes.data() + done, bytes.size() - done);
    if (wrote > 0)
      done += static_cast<std::size_t>(wrote);
    else if (wrote == 0)
      return EIO;
    else if (errno != EINTR)
      return errno;
  }
  return 0;
}

}  // namespace

std::error_code try_write_bytes(const std::filesystem::path& file, const std::vector<std::uint8_t>& bytes) {
  const int out = ::open(file.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
  if (out < 0)
    return system_says(errno);
  int code = write_all(out, bytes);
  if (code == 0)
    code = flush(out);
  if (::close(out) != 0 && code == 0)
    code = errno;
  if (code != 0)
    remove_remains(file);
  return system_says(code);
}

void write_bytes(const std::filesystem::path& file, const std::vector<std::uint8_t>& bytes) {
  if (const std::error_code error = try_write_bytes(file, bytes))
    throw write_problem(file, error, "check the folder and its permissions");
}

std::error_code flush_folder(const std::filesystem::path& folder) {
  const int names = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (names < 0)
    return system_says(errno);
  const int code = flush(names);
  ::close(names);
  return system_says(code);
}

Problem write_problem(const std::filesystem::path& place, const std::error_code& error,
                      const std::string& otherwise) {
  const bool full = error.value() == ENOSPC || error.value() == EDQUOT;
  return {ProblemKind::other, place.string(), fmt::format("cannot be written ({})", error.message()),
          full ? "free some space on that disk, or choose another place" : otherwise};
}

}  // namespace powderplan
