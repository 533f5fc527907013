// What a fuzz target is made of. Each target is one file with the function that libFuzzer calls; replay.cpp
// calls the same one for files. A target may answer any bytes by a Problem; anything else that is thrown, a
// sanitizer's report or a broken promise of its header ends it.
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <string>

#include "problem.h"

// NOLINTNEXTLINE(readability-identifier-naming): the name that libFuzzer asks for
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace powderplan::fuzz {

inline std::string text_of(const std::uint8_t* data, std::size_t size) {
  return {reinterpret_cast<const char*>(data), size};
}

// A promise that does not hold.
inline void promise(bool holds, const char* what) {
  if (holds)
    return;
  std::fprintf(stderr, "not so: %s\n", what);
  std::abort();
}

// Does the work; a Problem is an answer, if it says what a user needs.
template <class Work>
int answered(const Work& work) {
  try {
    work();
  } catch (const Problem& problem) {
    promise(!problem.place().empty(), "a problem names its place");
    promise(!problem.wrong().empty(), "a problem says what is wrong");
    promise(!problem.remedy().empty(), "a problem says what to do");
  }
  return 0;
}

}  // namespace powderplan::fuzz
