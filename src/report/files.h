// Files of the user's, read whole, and their fingerprints.
#pragma once

#include <array>
#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <vector>

namespace powderplan {

inline constexpr std::uint64_t most_file_bytes = 1'000'000'000;
inline constexpr std::uint64_t most_text_bytes = 20'000'000;

// The bytes of a file, devices and pipes included. Throws Problem (input), with the file's name as its place,
// when it is missing, a folder, unreadable, or holds more than `most` bytes, and when it is a pipe that
// nobody has opened to write into within two seconds.
std::vector<std::uint8_t> read_file(const std::filesystem::path& file, std::uint64_t most = most_file_bytes);

// The same as text, without a UTF-8 byte order mark; also refuses what is no UTF-8.
std::string read_text_file(const std::filesystem::path& file, std::uint64_t most = most_text_bytes);

// SHA-256 (FIPS 180-4), and as 64 lower-case hexadecimal digits. Throw Problem (other) where OpenSSL refuses.
std::array<std::uint8_t, 32> sha256_bytes(std::span<const std::uint8_t> bytes);
std::array<std::uint8_t, 32> sha256_bytes(const std::string& text);
std::string sha256(std::span<const std::uint8_t> bytes);
std::string sha256(const std::string& text);

// Base64 (RFC 4648, section 4) with padding, without line breaks.
std::string base64(std::span<const std::uint8_t> bytes);

}  // namespace powderplan
