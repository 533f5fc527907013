// What is ready goes to its place by one step, in which nothing is overwritten unseen.
//
// Linux does that (renameat2); some network and foreign file systems do not. There a swap takes two steps,
// and what a run that was killed between them has moved aside is put back by the next. Callers hold the
// folder's lock (report/folder_lock.h).
#pragma once

#include <filesystem>
#include <system_error>

namespace powderplan {

// Renames to a free place. File-exists where it is not free.
[[nodiscard]] std::error_code move_to_free(const std::filesystem::path& ready,
                                           const std::filesystem::path& place);
// What is ready and what lies at the place change places; both are there.
[[nodiscard]] std::error_code swap_places(const std::filesystem::path& ready,
                                          const std::filesystem::path& place);
// Where a killed run left the place free and what was there beside it, puts that back. Takes the lock itself.
void put_back_what_was_aside(const std::filesystem::path& place);

}  // namespace powderplan
