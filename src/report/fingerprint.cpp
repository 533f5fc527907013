// Beside files.cpp and not in it: what only reads files need not load OpenSSL.
#include <fmt/format.h>
#include <fmt/ranges.h>
#include <openssl/evp.h>

#include "problem.h"
#include "report/files.h"

namespace powderplan {

std::array<std::uint8_t, 32> sha256_bytes(std::span<const std::uint8_t> bytes) {
  std::array<std::uint8_t, 32> digest{};
  if (EVP_Digest(bytes.data(), bytes.size(), digest.data(), nullptr, EVP_sha256(), nullptr) != 1)
    throw Problem(ProblemKind::other, "SHA-256", "cannot be computed on this machine",
                  "check its OpenSSL library");
  return digest;
}

std::array<std::uint8_t, 32> sha256_bytes(const std::string& text) {
  return sha256_bytes(std::span(reinterpret_cast<const std::uint8_t*>(text.data()), text.size()));
}

std::string sha256(std::span<const std::uint8_t> bytes) {
  return fmt::format("{:02x}", fmt::join(sha256_bytes(bytes), ""));
}

std::string sha256(const std::string& text) {
  return fmt::format("{:02x}", fmt::join(sha256_bytes(text), ""));
}

std::string base64(std::span<const std::uint8_t> bytes) {
  std::string text((bytes.size() + 2) / 3 * 4 + 1, '\0');
  const int length = EVP_EncodeBlock(reinterpret_cast<unsigned char*>(text.data()), bytes.data(),
                                     static_cast<int>(bytes.size()));
  text.resize(static_cast<std::size_t>(length));
  return text;
}

}  // namespace powderplan
