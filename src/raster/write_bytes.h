// The bytes of a file, to the disk.
#pragma once

#include <cstdint>
#include <filesystem>
#include <string>
#include <system_error>
#include <vector>

#include "problem.h"

namespace powderplan {

// Throws Problem (other) when the file cannot be written whole. When this returns, its bytes are on the disk
// itself, where not even a power cut takes them away.
void write_bytes(const std::filesystem::path& file, const std::vector<std::uint8_t>& bytes);

// The same, giving back what the system says; nothing is left behind then.
[[nodiscard]] std::error_code try_write_bytes(const std::filesystem::path& file,
                                              const std::vector<std::uint8_t>& bytes);

// The names in a folder, to the disk: after this, files that were made in it or renamed are found there.
[[nodiscard]] std::error_code flush_folder(const std::filesystem::path& folder);

// What to tell of a place that cannot be written (Problem, other). For a full disk the remedy is always the
// same; `otherwise` is that for everything else.
[[nodiscard]] Problem write_problem(const std::filesystem::path& place, const std::error_code& error,
                                    const std::string& otherwise);

}  // namespace powderplan
