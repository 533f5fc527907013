#include "raster/write_bytes.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstdio>
#include <system_error>

#include "problem.h"

namespace powderplan {
namespace {

[[noreturn]] void refuse_write(const std::filesystem::path& file, int code) {
  const bool full = code == ENOSPC || code == EDQUOT;
  throw Problem(ProblemKind::other, file.string(),
                fmt::format("cannot be written: {}", std::generic_category().message(code)),
                full ? "free some space and try again" : "check the folder and its permissions");
}

// What was begun is no file anyone wants; a device is not ours to remove.
void remove_remains(const std::filesystem::path& file) {
  std::error_code ignored;
  if (std::filesystem::is_regular_file(file, ignored))
    std::filesystem::remove(file, ignored);
}

void write(const std::filesystem::path& file, const std::vector<std::uint8_t>& bytes, const char* mode) {
  errno = 0;
  std::FILE* out = std::fopen(file.c_str(), mode);
  if (out == nullptr)
    refuse_write(file, errno);
  const bool taken = bytes.empty() || std::fwrite(bytes.data(), 1, bytes.size(), out) == bytes.size();
  const bool written = taken && std::fflush(out) == 0;
  int code = written ? 0 : errno;
  if (std::fclose(out) != 0 && code == 0)
    code = errno;
  if (code == 0 && written)
    return;
  remove_remains(file);
  refuse_write(file, code != 0 ? code : EIO);
}

}  // namespace

void write_bytes(const std::filesystem::path& file, const std::vector<std::uint8_t>& bytes) {
  write(file, bytes, "wb");
}

void write_new_file(const std::filesystem::path& file, const std::vector<std::uint8_t>& bytes) {
  write(file, bytes, "wbx");
}

}  // namespace powderplan
