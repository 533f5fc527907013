#include "report/result_store.h"

#include <fcntl.h>
#include <link.h>
#include <sys/stat.h>
#include <unistd.h>
#include <zlib.h>

#include <algorithm>
#include <array>
#include <cstring>
#include <istream>
#include <optional>
#include <ostream>
#include <streambuf>
#include <string_view>
#include <system_error>
#include <utility>
#include <vector>

#include "problem.h"
#include "report/files.h"
#include "report/partial.h"
#include "version.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view ending = ".kept";
constexpr std::size_t buffer_bytes = 1 << 18;

// A gzip file (RFC 1952): short, and it carries a check of its own.
class Gzip {
 public:
  // Takes the descriptor over; below 0 there is no file.
  Gzip(int descriptor, const char* mode) : file_(descriptor < 0 ? nullptr : gzdopen(descriptor, mode)) {
    if (file_ != nullptr)
      gzbuffer(file_, buffer_bytes);
    else if (descriptor >= 0)
      ::close(descriptor);
  }
  ~Gzip() { close(); }
  Gzip(const Gzip&) = delete;
  Gzip& operator=(const Gzip&) = delete;
  // Whether all went well, the check at the end included.
  bool close() {
    if (file_ == nullptr)
      return false;
    return gzclose(std::exchange(file_, nullptr)) == Z_OK;
  }
  [[nodiscard]] bool is_open() const { return file_ != nullptr; }
  // Reads it through, to the check at its end, and begins again.
  bool is_sound() {
    std::vector<char> bytes(buffer_bytes);
    int got = 0;
    while ((got = read(bytes.data(), bytes.size())) > 0) {
    }
    int fault = Z_OK;  // a file that is cut short is told only here
    gzerror(file_, &fault);
    return got == 0 && fault == Z_OK && gzrewind(file_) == 0;
  }
  // Bytes read; below 0 for a damaged file.
  int read(char* to, std::size_t count) { return gzread(file_, to, static_cast<unsigned>(count)); }
  bool write(const char* from, std::size_t count) {
    return count == 0 || gzwrite(file_, from, static_cast<unsigned>(count)) == static_cast<int>(count);
  }

 private:
  gzFile file_;
};

class ReadingBuffer : public std::streambuf {
 public:
  explicit ReadingBuffer(Gzip& file) : file_(file), bytes_(buffer_bytes) {}

 private:
  int_type underflow() override {
    const int got = file_.read(bytes_.data(), bytes_.size());
    if (got <= 0)
      return traits_type::eof();
    setg(bytes_.data(), bytes_.data(), bytes_.data() + got);
    return traits_type::to_int_type(*gptr());
  }
  Gzip& file_;
  std::vector<char> bytes_;
};

class WritingBuffer : public std::streambuf {
 public:
  explicit WritingBuffer(Gzip& file) : file_(file), bytes_(buffer_bytes) {
    setp(bytes_.data(), bytes_.data() + bytes_.size());
  }
  bool flush() {
    refused_ = !file_.write(pbase(), static_cast<std::size_t>(pptr() - pbase())) || refused_;
    setp(bytes_.data(), bytes_.data() + bytes_.size());
    return !refused_;
  }
  // Whether the disk has not taken something. Who writes past the stream leaves no mark on that.
  [[nodiscard]] bool refused() const { return refused_; }

 private:
  int_type overflow(int_type c) override {
    if (!flush())
      return traits_type::eof();
    if (!traits_type::eq_int_type(c, traits_type::eof())) {
      *pptr() = traits_type::to_char_type(c);
      pbump(1);
    }
    return traits_type::not_eof(c);
  }
  Gzip& file_;
  std::vector<char> bytes_;
  bool refused_ = false;
};

// An entry begins with its key, so that a whole file of another kind or under another's name is not taken for
// it.
bool is_of(std::istream& stream, const std::string& key) {
  std::string found(key.size(), '\0');
  return stream.read(found.data(), static_cast<std::streamsize>(found.size())) && found == key;
}

// An entry that this user has written: what others put into a folder that they share, and what a link leads
// to, may be made to mislead whoever reads it. -1 where there is none.
int open_own(const fs::path& file) {
  const int descriptor = ::open(file.c_str(), O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
  struct stat facts = {};
  if (descriptor >= 0 &&
      (::fstat(descriptor, &facts) != 0 || !S_ISREG(facts.st_mode) || facts.st_uid != ::geteuid())) {
    ::close(descriptor);
    return -1;
  }
  return descriptor;
}

}  // namespace

ResultStore::ResultStore(fs::path folder, std::uint64_t most_bytes)
    : folder_(std::move(folder)), most_bytes_(most_bytes) {}

fs::path ResultStore::file_of(const std::string& key) const {
  return folder_ / (key + std::string(ending));
}

bool ResultStore::find(const std::string& key, const std::function<void(std::istream&)>& read) const {
  const fs::path file = file_of(key);
  std::error_code ignored;
  Gzip gzip(open_own(file), "rb");
  if (!gzip.is_open())
    return false;
  if (!gzip.is_sound()) {
    fs::remove(file, ignored);
    return false;
  }
  ReadingBuffer buffer(gzip);
  std::istream stream(&buffer);
  if (!is_of(stream, key))
    return false;
  try {
    read(stream);
  } catch (const std::exception&) {
    return false;  // whole, but not what was expected: somebody else's
  }
  fs::last_write_time(file, fs::file_time_type::clock::now(), ignored);
  return true;
}

void ResultStore::keep(const std::string& key, const std::function<void(std::ostream&)>& write,
                       Packing packing) const {
  std::error_code failed;
  fs::create_directories(folder_, failed);
  const fs::path file = file_of(key);
  std::optional<Partial> partial;
  try {
    partial.emplace(file, PartialKind::file, "");
  } catch (const Problem&) {
    return;
  }
  bool whole = false;
  {
    const int into = ::open(partial->path().c_str(), O_WRONLY | O_TRUNC | O_NOFOLLOW | O_CLOEXEC);
    Gzip gzip(into, packing == Packing::deflated ? "wb1" : "wb0");
    if (!gzip.is_open())
      return;
    WritingBuffer buffer(gzip);
    std::ostream stream(&buffer);
    try {
      stream << key;
      write(stream);
    } catch (...) {
      gzip.close();
      if (!stream.fail() && !buffer.refused())
        throw;
      return;
    }
    whole = stream.good() && buffer.flush();
    whole = gzip.close() && whole;
  }
  // Not flushed to the disk: an entry that a power cut has emptied is not sound, and is made anew.
  if (whole)
    fs::rename(partial->path(), file, failed);
  if (whole && !failed)
    partial->let_go();
  make_room();
}

void ResultStore::make_room() const {
  clear_abandoned(folder_, [](std::string_view name) { return name.ends_with(ending); });
  struct Entry {
    fs::path file;
    fs::file_time_type used;
    std::uint64_t bytes;
  };
  std::vector<Entry> entries;
  std::uint64_t total = 0;
  std::error_code failed;
  for (fs::directory_iterator at(folder_, failed), end; !failed && at != end; at.increment(failed)) {
    if (at->path().extension() != ending)
      continue;
    std::error_code gone;
    const Entry entry{at->path(), at->last_write_time(gone), at->file_size(gone)};
    if (gone)
      continue;  // another run has removed it
    total += entry.bytes;
    entries.push_back(entry);
  }
  std::sort(entries.begin(), entries.end(), [](const Entry& a, const Entry& b) { return a.used < b.used; });
  for (const Entry& entry : entries) {
    if (total <= most_bytes_)
      break;
    fs::remove(entry.file, failed);
    total -= entry.bytes;
  }
}

std::string fingerprint_of_program() {
  std::string all(program_version());
  // The build identifiers of the program and of every library that it has loaded (ELF note 3 of the GNU
  // toolchain).
  const auto collect = [](dl_phdr_info* info, std::size_t, void* into) {
    for (int i = 0; i < info->dlpi_phnum; ++i) {
      const ElfW(Phdr)& part = info->dlpi_phdr[i];
      if (part.p_type != PT_NOTE)
        continue;
      // NOLINTNEXTLINE(performance-no-int-to-ptr): the loader gives addresses as numbers
      const char* at = reinterpret_cast<const char*>(info->dlpi_addr + part.p_vaddr);
      const char* const end = at + part.p_memsz;
      while (at + sizeof(ElfW(Nhdr)) <= end) {
        ElfW(Nhdr) note;
        std::memcpy(&note, at, sizeof note);
        const auto padded = [](std::size_t bytes) { return (bytes + 3) / 4 * 4; };
        const char* const name = at + sizeof note;
        const char* const identifier = name + padded(note.n_namesz);
        if (note.n_type == NT_GNU_BUILD_ID && note.n_namesz == 4 && std::memcmp(name, "GNU", 4) == 0)
          static_cast<std::string*>(into)->append(identifier, note.n_descsz);
        at = identifier + padded(note.n_descsz);
      }
    }
    return 0;
  };
  dl_iterate_phdr(collect, &all);
#if defined(__x86_64__) && defined(__GNUC__)
  // The C library takes other roads to its functions on other processors, and they may round otherwise.
  __builtin_cpu_init();
  all += __builtin_cpu_supports("fma") ? 'f' : '-';
  all += __builtin_cpu_supports("avx2") ? 'a' : '-';
  all += __builtin_cpu_supports("avx512f") ? 'w' : '-';
#endif
  return sha256(all);
}

}  // namespace powderplan
