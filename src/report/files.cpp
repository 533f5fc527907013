#include "report/files.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <poll.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <system_error>

#include "problem.h"
#include "utf8.h"

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

// With a pipe that nobody has opened yet at its other end.
constexpr int patience_ms = 2000;

// An open file. Opening a pipe the usual way would wait for somebody to write into it, if need be for ever.
class Reading {
 public:
  explicit Reading(const std::filesystem::path& file)
      : file_(file), descriptor_(::open(file.c_str(), O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC)) {
    if (descriptor_ < 0)
      fail(file_, fmt::format("cannot be opened ({})", std::generic_category().message(errno)),
           "check that you may read it");
    struct stat facts = {};
    if (::fstat(descriptor_, &facts) == 0 && S_ISFIFO(facts.st_mode))
      silent_ = !wait(patience_ms);
  }
  ~Reading() { ::close(descriptor_); }
  Reading(const Reading&) = delete;
  Reading& operator=(const Reading&) = delete;

  // How many bytes were there; none at the end.
  std::size_t read(std::span<std::uint8_t> into) {
    for (;;) {
      const ssize_t got = ::read(descriptor_, into.data(), into.size());
      // An empty pipe says "the end" when its other end is closed, "not yet" when somebody has it open.
      if (got == 0 && silent_)
        fail(file_, "is a pipe, and nothing writes into it",
             "name a file, or start what is to write into it");
      if (got >= 0) {
        silent_ = false;
        return static_cast<std::size_t>(got);
      }
      if (errno == EAGAIN) {
        silent_ = false;
        (void)wait(-1);
      } else if (errno != EINTR) {
        fail(file_, fmt::format("cannot be read to its end ({})", std::generic_category().message(errno)),
             "check the disk, or copy the file anew");
      }
    }
  }

 private:
  // Whether there is something to read, or the end of it.
  [[nodiscard]] bool wait(int at_most_ms) const {
    pollfd asked{descriptor_, POLLIN, 0};
    return ::poll(&asked, 1, at_most_ms) > 0;
  }

  const std::filesystem::path& file_;
  int descriptor_;
  bool silent_ = false;  // a pipe from which nothing has come, neither bytes nor its end
};

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

  Reading in(file);
  std::vector<std::uint8_t> bytes;
  if (status.type() == std::filesystem::file_type::regular) {
    const std::uintmax_t size = std::filesystem::file_size(file, error);
    if (!error && size > most)
      too_large(file, most);
    if (!error)
      bytes.reserve(size);
  }
  std::array<std::uint8_t, 65536> chunk;
  while (const std::size_t got = in.read(chunk)) {
    bytes.insert(bytes.end(), chunk.begin(), chunk.begin() + static_cast<std::ptrdiff_t>(got));
    if (bytes.size() > most)
      too_large(file, most);
  }
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
