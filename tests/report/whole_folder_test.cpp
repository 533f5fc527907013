// Nothing is replaced but what was found; plan_folder_test.cpp has the rest.
#include "report/whole_folder.h"

#include <gtest/gtest.h>

#include <fstream>
#include <functional>
#include <iterator>

#include "problem.h"
#include "report/put_in_place.h"
#include "report/temporary_folder.h"
#include "report/whole_file.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

void make(const fs::path& folder, const std::string& text) {
  fs::create_directory(folder);
  std::ofstream(folder / "jar.json") << text;
}

std::string text_in(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

std::size_t entries(const fs::path& folder) {
  return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder), fs::directory_iterator()));
}

// What is said when a folder is put where `found` was looked at before `meanwhile`.
std::string put(const fs::path& folder, const std::function<void()>& meanwhile) {
  const FoundPlace found(folder);
  WholeFolder whole(folder);
  whole.write("jar.json", {'n', 'e', 'w'});
  meanwhile();
  try {
    EXPECT_FALSE(whole.commit(found)) << "nothing is left over";
    return "put";
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::other);
    EXPECT_EQ(problem.place(), folder.string());
    return problem.wrong();
  }
}

constexpr const char* refused =
    "was put there by another run or by somebody else while this one was at work, and stays";

TEST(WholeFolder, ReplacesWhatWasFoundAndNothingElse) {
  const TemporaryFolder place;
  const fs::path jar = place.path() / "jar";
  EXPECT_EQ(put(jar, [] {}), "put");
  EXPECT_EQ(put(jar, [] {}), "put");
  EXPECT_EQ(text_in(jar / "jar.json"), "new");
  // Taken away and made anew, under the same name and perhaps the same number on the disk.
  EXPECT_EQ(put(jar,
                [&] {
                  fs::remove_all(jar);
                  make(jar, "other");
                }),
            refused);
  EXPECT_EQ(text_in(jar / "jar.json"), "other");
  EXPECT_EQ(entries(place.path()), 1u);
}

TEST(WholeFolder, WhatComesToAFreePlaceStays) {
  const TemporaryFolder place;
  const fs::path jar = place.path() / "jar";
  EXPECT_EQ(put(jar, [&] { make(jar, "other"); }), refused);
  EXPECT_EQ(text_in(jar / "jar.json"), "other");
  EXPECT_EQ(put(place.path() / "b", [&] { fs::create_directory(place.path() / "b"); }), refused)
      << "an empty folder too";
  EXPECT_EQ(entries(place.path()), 2u);
}

TEST(WholeFolder, WhatWasTakenAwayMeanwhileLeavesAFreePlace) {
  const TemporaryFolder place;
  const fs::path jar = place.path() / "jar";
  make(jar, "old");
  EXPECT_EQ(put(jar, [&] { fs::rename(jar, place.path() / "mine"); }), "put");
  EXPECT_EQ(text_in(jar / "jar.json"), "new");
  EXPECT_EQ(text_in(place.path() / "mine" / "jar.json"), "old");
}

TEST(WholeFile, ReplacesWhatWasFoundAndNothingElse) {
  const TemporaryFolder place;
  const fs::path file = place.path() / "chart.png";
  {
    const FoundPlace found = check_whole_file(file, ".png", false);
    std::ofstream(file) << "other";
    EXPECT_THROW(write_whole_file(file, found, {'n'}), Problem);
    EXPECT_EQ(text_in(file), "other");
  }
  write_whole_file(file, check_whole_file(file, ".png", true), {'n'});
  EXPECT_EQ(text_in(file), "n");
  EXPECT_EQ(entries(place.path()), 1u);
}

TEST(PutInPlace, WhatWasLeftAsideIsPutBackOrGoes) {
  const TemporaryFolder place;
  const fs::path jar = place.path() / "jar", aside = place.path() / ".jar.old-0a1b2c";
  make(aside, "old");
  make(place.path() / ".jar.old-notours", "mine");
  put_back_what_was_aside(jar);
  EXPECT_EQ(text_in(jar / "jar.json"), "old");
  EXPECT_FALSE(fs::exists(aside));
  make(aside, "older");
  put_back_what_was_aside(jar);
  EXPECT_EQ(text_in(jar / "jar.json"), "old");
  EXPECT_FALSE(fs::exists(aside));
  EXPECT_TRUE(fs::exists(place.path() / ".jar.old-notours"));
}

TEST(PutInPlace, AFreePlaceMustBeFree) {
  const TemporaryFolder place;
  make(place.path() / "a", "a");
  make(place.path() / "b", "b");
  EXPECT_EQ(move_to_free(place.path() / "a", place.path() / "b"), std::errc::file_exists);
  EXPECT_FALSE(swap_places(place.path() / "a", place.path() / "b"));
  EXPECT_EQ(text_in(place.path() / "a" / "jar.json"), "b");
  EXPECT_FALSE(move_to_free(place.path() / "a", place.path() / "c"));
  EXPECT_EQ(text_in(place.path() / "c" / "jar.json"), "b");
}

}  // namespace
}  // namespace powderplan
