// A user's own file replaced by a new one, the old one kept beside it.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <vector>

namespace powderplan {

// Whether `replace_keeping` could do its work, looked at before anything is done. Throws Problem (other): the
// file or its folder cannot be written; (input): it is missing, or no file.
void check_can_replace(const std::filesystem::path& file);

// Puts `bytes` in the place of `file`, links followed, and the old file beside it as "NAME.before-N.ENDING",
// N one more than any that is there. Returns where the old one lies. `before` is what the file held when it
// was read: where somebody has changed it since, nothing happens (Problem, input). Permissions stay.
// `may_go_on` is called when all is on the disk and only the new one is still to appear; when it throws, or
// the disk does not take a file (Problem, other), everything is as it was. Callers hold the folder's lock
// (report/folder_lock.h) since they read the file, so that two runs do not undo each other's work.
std::filesystem::path replace_keeping(const std::filesystem::path& file,
                                      const std::vector<std::uint8_t>& before,
                                      const std::vector<std::uint8_t>& bytes,
                                      const std::function<void()>& may_go_on = {});

}  // namespace powderplan
