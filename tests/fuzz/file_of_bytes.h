// Bytes under the name of a file, for readers that open one.
#pragma once

#include <sys/mman.h>
#include <unistd.h>

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <string>

#include "fuzz/target.h"

namespace powderplan::fuzz {

class FileOfBytes {
 public:
  FileOfBytes() : file_(memfd_create("bytes", MFD_CLOEXEC)) { promise(file_ >= 0, "memory can be a file"); }
  ~FileOfBytes() { close(file_); }
  FileOfBytes(const FileOfBytes&) = delete;
  FileOfBytes& operator=(const FileOfBytes&) = delete;

  void hold(const std::uint8_t* data, std::size_t size) const {
    const bool emptied = ftruncate(file_, 0) == 0;
    promise(emptied && pwrite(file_, data, size, 0) == static_cast<ssize_t>(size), "memory holds the bytes");
  }
  [[nodiscard]] std::filesystem::path path() const { return "/proc/self/fd/" + std::to_string(file_); }

 private:
  int file_;
};

}  // namespace powderplan::fuzz
