// A file or folder in the making: a sibling ".NAME.partial-XXXXXX" of what it is to become.
//
// It is locked as long as its maker lives. One that nobody holds was left by a run that was killed, and the
// next run for the same NAME takes it away.
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <string_view>

namespace powderplan {

enum class PartialKind { file, folder };

class Partial {
 public:
  // Makes an empty one beside `place`, and clears away abandoned ones of the same name. Throws Problem
  // (other) where the folder cannot be written; `otherwise` is what to do about that where the disk is not
  // full.
  Partial(const std::filesystem::path& place, PartialKind kind, const std::string& otherwise);
  // Removes whatever lies under its name.
  ~Partial();
  Partial(const Partial&) = delete;
  Partial& operator=(const Partial&) = delete;

  [[nodiscard]] const std::filesystem::path& path() const { return path_; }
  // Nothing of ours lies under its name any more, or it is to stay.
  void let_go() { path_.clear(); }

 private:
  std::filesystem::path path_;
  int lock_ = -1;
};

// The folder of a place, "." for a bare name.
std::filesystem::path folder_of(const std::filesystem::path& place);
// A free name ".NAME.WHAT-XXXXXX" beside the place, at random.
std::filesystem::path hidden_sibling(const std::filesystem::path& place, std::string_view what);
// Calls `found` for each ".NAME.WHAT-XXXXXX" in a folder whose NAME is wanted.
void for_each_hidden(const std::filesystem::path& folder, std::string_view what,
                     const std::function<bool(std::string_view name)>& wanted,
                     const std::function<void(const std::filesystem::path&)>& found);
// Removes what killed runs left in a folder, of those names that are wanted.
void clear_abandoned(const std::filesystem::path& folder,
                     const std::function<bool(std::string_view name)>& wanted);

}  // namespace powderplan
