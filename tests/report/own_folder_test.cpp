// Folders of ours told from everybody else's; what plan_folder_test.cpp says of plans holds for every kind.
#include "report/own_folder.h"

#include <gtest/gtest.h>

#include <array>
#include <fstream>

#include "problem.h"
#include "report/temporary_folder.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

constexpr std::array<std::string_view, 2> entries{"jar.json", "notes"};
constexpr FolderKind jar{"jar", "jar.json", entries};

std::string said(const fs::path& folder, bool replace, ProblemKind kind = ProblemKind::command_line) {
  try {
    check_own_folder(folder, replace, jar);
    return "may go there";
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), kind) << problem.what();
    const std::string what = problem.what();
    const std::string name = folder.string();
    return what.starts_with(name) ? what.substr(name.size()) : what;
  }
}

TEST(OwnFolder, WhatIsNotThereMayBeMade) {
  const TemporaryFolder place;
  EXPECT_EQ(said(place.path() / "new", false), "may go there");
  EXPECT_FALSE(fs::exists(place.path() / "new")) << "it was only asked";
  EXPECT_TRUE(fs::is_empty(place.path())) << "and the try is gone";
}

TEST(OwnFolder, OnlyItsKindIsReplaced) {
  const TemporaryFolder place;
  const fs::path folder = place.path() / "there";
  fs::create_directory(folder);
  EXPECT_EQ(said(folder, false), ": is already there; choose another name, or say --replace");
  EXPECT_EQ(said(folder, true), "may go there") << "an empty folder is nobody's work";
  std::ofstream(folder / "notes") << "half a jar";
  EXPECT_EQ(said(folder, true),
            ": is there and is no jar: it has no jar.json; choose another name for the jar");
  std::ofstream(folder / "jar.json") << "{}";
  EXPECT_EQ(said(folder, true), "may go there");
  for (const char* name : {".DS_Store", "Thumbs.db", "desktop.ini"})
    std::ofstream(folder / name) << "left by a desktop";
  EXPECT_EQ(said(folder, true), "may go there");
  std::ofstream(folder / "diary.txt") << "mine";
  EXPECT_EQ(
      said(folder, true),
      ": holds \"diary.txt\", which is no part of a jar, and so is not replaced; choose another name for the "
      "jar");
  EXPECT_TRUE(fs::exists(folder / "diary.txt"));
}

TEST(OwnFolder, FilesAndLinksToNothingAreNoFolders) {
  const TemporaryFolder place;
  std::ofstream(place.path() / "file") << "mine";
  EXPECT_EQ(said(place.path() / "file", true),
            ": is there and is no folder; choose another name for the jar");
  EXPECT_EQ(said(place.path() / "file", false), ": is already there; choose another name, or say --replace");
}

TEST(OwnFolder, SaysWhereNothingCanBeWritten) {
  // No one, not even root, makes folders there.
  EXPECT_NE(said("/proc/jar", false, ProblemKind::other).find("cannot be written"), std::string::npos);
  const TemporaryFolder place;
  EXPECT_NE(
      said(place.path() / "missing" / "jar", false, ProblemKind::other).find("is no folder; make it first"),
      std::string::npos);
}

}  // namespace
}  // namespace powderplan
