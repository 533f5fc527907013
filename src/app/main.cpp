// The executable finds the program's libraries and hands over to the first of them. It is linked to nothing
// else, so that it can say what is missing when it was copied away without them.
#include <dlfcn.h>
#include <malloc.h>

#include <array>
#include <csignal>
#include <filesystem>
#include <iostream>

#include "app/entries.h"
#include "app/exit_code.h"

namespace {

namespace fs = std::filesystem;

// The executable itself, not a link to it.
fs::path own_path() {
  std::error_code error;
  const fs::path path = fs::read_symlink("/proc/self/exe", error);
  return error ? fs::path() : path;
}

int fail(const fs::path& place, const char* wrong) {
  std::cerr << "powderplan: " << place.string() << ": " << wrong
            << "; install or build the program again, as a whole, and link to it rather than copy it"
            << std::endl;
  return powderplan::exit_other;
}

int run(int argc, char** argv) {
  const fs::path folder = own_path().parent_path();
  // Where it is built, and where it is installed: from there, so that the whole may be moved.
  const std::array places{folder / "lib" / "powderplan", (folder / POWDERPLAN_LIBRARIES).lexically_normal()};
  for (const fs::path& place : places) {
    const fs::path library = place / "libpowderplan_app.so";
    std::error_code error;
    if (!fs::exists(library, error))
      continue;
    void* opened = dlopen(library.c_str(), RTLD_NOW | RTLD_GLOBAL);
    void* entry = opened != nullptr ? dlsym(opened, "powderplan_run") : nullptr;
    if (entry == nullptr) {
      const char* reason = dlerror();
      return fail(library, reason != nullptr ? reason : "cannot be loaded");
    }
    return reinterpret_cast<decltype(&powderplan_run)>(entry)(argc, argv);
  }
  return fail(places.front(), "this folder with the parts of the program is missing");
}

}  // namespace

int main(int argc, char** argv) {
  // Pictures go back to the system as soon as they are let go of. Left alone, the allocator keeps ever larger
  // ones for itself once some have been freed.
  constexpr int bytes_given_back = 1 << 20;
  mallopt(M_MMAP_THRESHOLD, bytes_given_back);
  // A file larger than the shell allows (ulimit -f) is then an error like a full disk, not the end.
  std::signal(SIGXFSZ, SIG_IGN);
  const int code = run(argc, argv);
  // A shell's loop stops only when it sees that its command died of the signal.
  if (code > powderplan::exit_by_signal)
    std::raise(code - powderplan::exit_by_signal);
  return code;
}
