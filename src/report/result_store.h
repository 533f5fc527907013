// Results of earlier runs, kept in a folder that may be deleted at any time. An entry is found only by a key
// that stands for everything that it depends on, and is checked before it is used.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <iosfwd>
#include <string>

namespace powderplan {

// How an entry lies on the disk: `deflated`, or `as_it_is` where its bytes are packed already.
enum class Packing { deflated, as_it_is };

class ResultStore {
 public:
  // `folder` is made when the first entry is kept. When all entries together hold more than `most_bytes`,
  // those go first that have not been used for longest.
  explicit ResultStore(std::filesystem::path folder, std::uint64_t most_bytes = 1'000'000'000);

  // Calls read(stream) with what was kept under the key and returns true; false where there is nothing, it is
  // damaged, not of this key or not written by this user, or `read` throws. What `read` was filling is then
  // to be thrown away.
  bool find(const std::string& key, const std::function<void(std::istream&)>& read) const;
  // Keeps what write(stream) writes, in the place of what was there. Where the disk does not take it nothing
  // is kept, and nothing is said: the next run takes longer, that is all. What `write` throws, but for
  // trouble with the stream, goes through.
  void keep(const std::string& key, const std::function<void(std::ostream&)>& write,
            Packing packing = Packing::deflated) const;

 private:
  [[nodiscard]] std::filesystem::path file_of(const std::string& key) const;
  void make_room() const;

  std::filesystem::path folder_;
  std::uint64_t most_bytes_;
};

// Tells builds of this program apart, and the libraries and the kind of processor that it runs on: results of
// one must not be taken for those of another. 64 hexadecimal digits.
std::string fingerprint_of_program();

}  // namespace powderplan
