#include "app/own_library.h"

#include <dlfcn.h>
#include <fmt/format.h>

#include <filesystem>

#include "problem.h"

namespace powderplan {
namespace {

// Where the dynamic linker has found this code.
std::filesystem::path own_folder() {
  Dl_info info{};
  if (dladdr(reinterpret_cast<const void*>(&own_function), &info) == 0 || info.dli_fname == nullptr)
    throw Problem(ProblemKind::other, "powderplan", "its own libraries cannot be found", "install it again");
  return std::filesystem::path(info.dli_fname).parent_path();
}

}  // namespace

void* own_function(std::string_view library, const char* name) {
  const std::filesystem::path file = own_folder() / fmt::format("libpowderplan_{}.so", library);
  std::error_code error;
  if (!std::filesystem::exists(file, error))
    throw Problem(ProblemKind::other, file.string(), "this part of the program is missing",
                  "install or build it again, as a whole");
  // Global, so that what is in two of them by the language's rules (a typeinfo, a variable of an inline
  // function) is one; functions of other libraries are looked up when they are first called.
  void* opened = dlopen(file.c_str(), RTLD_LAZY | RTLD_GLOBAL);
  void* function = opened != nullptr ? dlsym(opened, name) : nullptr;
  if (function == nullptr) {
    const char* reason = dlerror();
    throw Problem(ProblemKind::other, file.string(),
                  fmt::format("this part of the program cannot be loaded ({})",
                              reason != nullptr ? reason : "no reason is known"),
                  "install what is missing, or the program again, as a whole");
  }
  return function;
}

}  // namespace powderplan
