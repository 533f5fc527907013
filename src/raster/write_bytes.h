// The bytes of a file, to the disk.
#pragma once

#include <cstdint>
#include <filesystem>
#include <vector>

namespace powderplan {

// Throws Problem (other) when the file cannot be written whole.
void write_bytes(const std::filesystem::path& file, const std::vector<std::uint8_t>& bytes);

// The same, where something that is there already is a fault, a link to another file too.
void write_new_file(const std::filesystem::path& file, const std::vector<std::uint8_t>& bytes);

}  // namespace powderplan
