// Calls a fuzz target for every file of some folders: fuzz_NAME_replay FOLDER ... What a fuzzer has found
// stays mended so.
#include <algorithm>
#include <cstdio>
#include <exception>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <vector>

#include "fuzz/target.h"

int main(int argc, char** argv) {
  std::vector<std::filesystem::path> files;
  for (int i = 1; i < argc; ++i) {
    if (!std::filesystem::is_directory(argv[i])) {
      std::fprintf(stderr, "%s is no folder\n", argv[i]);
      return 2;
    }
    for (const auto& entry : std::filesystem::directory_iterator(argv[i]))
      files.push_back(entry.path());
  }
  if (files.empty()) {
    std::fputs("there are no files to replay\n", stderr);
    return 2;
  }
  std::sort(files.begin(), files.end());
  for (const std::filesystem::path& file : files) {
    std::ifstream stream(file, std::ios::binary);
    const std::vector<char> bytes((std::istreambuf_iterator<char>(stream)), {});
    try {
      LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size());
    } catch (const std::exception& fault) {
      std::fprintf(stderr, "%s: %s\n", file.c_str(), fault.what());
      return 1;
    }
  }
  std::printf("%zu files\n", files.size());
}
