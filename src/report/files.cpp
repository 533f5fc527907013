#include "report/files.h"

#include <fmt/format.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <system_error>

#include "problem.h"
#include "report/utf8.h"

namespace powderplan {
namespace {

[[noreturn]] void fail(const std::filesystem::path& file, const std::string& wrong,
                       const std::string& remedy) {
  throw Problem(ProblemKind::input, file.string(), wrong, remedy);
}

[[noreturn]] void too_large(const std::filesystem::path& file, std::uint64_t most) {
  const std::string size =
      most >= 1'000'000 ? fmt::format("{} MB", most / 1'000'000) : fmt::format("{} bytes", most);
  fail(file, fmt::format("larger than {}", size), "is this the file you meant? If so, make it smaller");
}

}  // namespace

std::vector<std::uint8_t> read_file(const std::filesystem::path& file, std::uint64_t most) {
  std::error_code error;
  const std::filesystem::file_status status = std::filesystem::status(file, error);
  if (status.type() == std::filesystem::file_type::not_found)
    fail(file, "no such file", "check the name and the folder");
  if (status.type() == std::filesystem::file_type::none)
    fail(file, "cannot be looked at (" + error.message() + ")", "check the permissions of its folders");
  if (status.type() == std::filesystem::file_type::directory)
    fail(file, "is a folder", "name a file in it");

  errno = 0;
  std::ifstream in(file, std::ios::binary);
  if (!in)
    fail(file, fmt::format("cannot be opened ({})", std::generic_category().message(errno)),
         "check that you may read it");
  std::vector<std::uint8_t> bytes;
  if (status.type() == std::filesystem::file_type::regular) {
    const std::uintmax_t size = std::filesystem::file_size(file, error);
    if (!error && size > most)
      too_large(file, most);
    if (!error)
      bytes.reserve(size);
  }
  std::array<char, 65536> chunk;
  while (in) {
    errno = 0;
    in.read(chunk.data(), static_cast<std::streamsize>(chunk.size()));
    const auto got = static_cast<std::size_t>(in.gcount());
    bytes.insert(bytes.end(), chunk.begin(), chunk.begin() + static_cast<std::ptrdiff_t>(got));
    if (bytes.size() > most)
      too_large(file, most);
  }
  if (in.bad())
    fail(file, fmt::format("cannot be read to its end ({})", std::generic_category().message(errno)),
         "check the disk, or copy the file anew");
  return bytes;
}

std::string read_text_file(const std::filesystem::path& file, std::uint64_t most) {
  const std::vector<std::uint8_t> bytes = read_file(file, most);
  std::string text(bytes.begin(), bytes.end());
  if (text.starts_with("\xef\xbb\xbf"))
    text.erase(0, 3);
  // UTF-16 is full of zero bytes and can be saved anew; what else holds one was never text.
  const bool utf_16 = text.starts_with("\xff\xfe") || text.starts_with("\xfe\xff");
  if (!utf_16 && text.find('\0') != std::string::npos)
    fail(file, "is no text file", "check that you have named the right file");
  std::size_t line = 1;
  for (std::string_view rest = text; !rest.empty();) {
    const std::size_t length = utf8_length(rest);
    if (length == 0 || rest.front() == '\0')
      fail(fmt::format("{}:{}", file.string(), line), "is no text in UTF-8", "save it as UTF-8 text");
    line += rest.front() == '\n' ? 1 : 0;
    rest.remove_prefix(length);
  }
  return text;
}

}  // namespace powderplan
