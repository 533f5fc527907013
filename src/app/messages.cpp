#include "app/messages.h"

#include <filesystem>
#include <new>

namespace powderplan {

std::string line_of(const Problem& problem) {
  return std::string("powderplan: ") + problem.what();
}

Problem problem_of(const std::exception& thrown) {
  if (const auto* problem = dynamic_cast<const Problem*>(&thrown))
    return *problem;
  if (dynamic_cast<const std::bad_alloc*>(&thrown) != nullptr)
    return {ProblemKind::other, "memory", "there is not enough for this piece",
            "make --pitch-mm coarser or the picture smaller"};
  if (const auto* disk = dynamic_cast<const std::filesystem::filesystem_error*>(&thrown)) {
    const std::string place = disk->path1().empty() ? "disk" : disk->path1().string();
    return {ProblemKind::other, place, disk->code().message(), "check the disk and its permissions"};
  }
  return {ProblemKind::other, "inside the program", thrown.what(),
          "this is a fault of ours; please report it"};
}

}  // namespace powderplan
