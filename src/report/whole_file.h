// A file that appears by one step when all of it is on the disk.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string_view>
#include <vector>

#include "report/found_place.h"
#include "report/partial.h"

namespace powderplan {

// Where a file would go, checked before any work is done. Throws Problem (command_line): its name does not
// end in `ending`, or something is there and `replace` is false, or it is there and no file; (other): the
// folder that would hold it is missing or cannot be written. Returns what is there.
FoundPlace check_whole_file(const std::filesystem::path& file, std::string_view ending, bool replace);

class WholeFile {
 public:
  // Writes the sibling ".NAME.partial-XXXXXX", to the disk itself. Throws Problem (other), its place `file`,
  // when the disk does not take it. What has not been put in its place goes with this.
  WholeFile(const std::filesystem::path& file, const std::vector<std::uint8_t>& bytes);

  // Where it lies meanwhile.
  [[nodiscard]] const std::filesystem::path& path() const { return partial_.path(); }

  // Puts it in its place. Callers hold the folder's lock (report/folder_lock.h). Throws Problem (other) where
  // anything else has come there than was found.
  void put(const FoundPlace& found);
  // The same, over whatever is there.
  void put_over();
  // The same under another name beside it; false where that is not free.
  [[nodiscard]] bool put_where_free(const std::filesystem::path& name);

 private:
  std::filesystem::path file_;
  Partial partial_;
};

// Writes a file and puts it in its place. `may_go_on` is called before that; when it throws, or the disk does
// not take the file, nothing is left behind.
void write_whole_file(const std::filesystem::path& file, const FoundPlace& found,
                      const std::vector<std::uint8_t>& bytes, const std::function<void()>& may_go_on = {});

}  // namespace powderplan
