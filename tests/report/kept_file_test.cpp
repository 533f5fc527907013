#include "report/kept_file.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <fstream>
#include <iterator>
#include <map>

#include "problem.h"
#include "report/temporary_folder.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

std::vector<std::uint8_t> bytes_of(const std::string& text) {
  return {text.begin(), text.end()};
}

std::string text_in(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

void write(const fs::path& file, const std::string& text) {
  std::ofstream(file, std::ios::binary) << text;
}

std::map<std::string, std::string> listing(const fs::path& folder) {
  std::map<std::string, std::string> all;
  for (const auto& entry : fs::directory_iterator(folder))
    all[entry.path().filename().string()] = text_in(entry.path());
  return all;
}

TEST(KeptFile, TheOldOneStaysBesideTheNew) {
  const TemporaryFolder folder;
  const fs::path file = folder.path() / "shelf.toml";
  write(file, "one");
  EXPECT_EQ(replace_keeping(file, bytes_of("one"), bytes_of("two")), folder.path() / "shelf.before-1.toml");
  EXPECT_EQ(replace_keeping(file, bytes_of("two"), bytes_of("three")), folder.path() / "shelf.before-2.toml");
  EXPECT_EQ(listing(folder.path()),
            (std::map<std::string, std::string>{
                {"shelf.toml", "three"}, {"shelf.before-1.toml", "one"}, {"shelf.before-2.toml", "two"}}));
}

TEST(KeptFile, NoOlderOneIsEverOverwritten) {
  const TemporaryFolder folder;
  const fs::path file = folder.path() / "shelf.toml";
  write(file, "now");
  write(folder.path() / "shelf.before-7.toml", "long ago");
  write(folder.path() / "shelf.before-x.toml", "no number");
  write(folder.path() / "shelf.before-9.toml.bak", "another ending");
  EXPECT_EQ(replace_keeping(file, bytes_of("now"), bytes_of("new")).filename(), "shelf.before-8.toml");
  EXPECT_EQ(text_in(folder.path() / "shelf.before-7.toml"), "long ago");
  EXPECT_EQ(listing(folder.path()).size(), 5u);
}

TEST(KeptFile, LinksAreFollowedAndStayLinks) {
  const TemporaryFolder folder;
  fs::create_directory(folder.path() / "store");
  const fs::path real = folder.path() / "store/jars.toml", link = folder.path() / "shelf.toml";
  write(real, "one");
  fs::create_symlink("store/jars.toml", link);
  const fs::path kept = replace_keeping(link, bytes_of("one"), bytes_of("two"));
  EXPECT_EQ(kept.filename(), "jars.before-1.toml") << "beside the file itself";
  EXPECT_EQ(text_in(folder.path() / "store/jars.before-1.toml"), "one");
  EXPECT_TRUE(fs::is_symlink(link));
  EXPECT_EQ(text_in(real), "two");
}

TEST(KeptFile, PermissionsStay) {
  const TemporaryFolder folder;
  const fs::path file = folder.path() / "shelf.toml";
  write(file, "one");
  const fs::perms wished = fs::perms::owner_read | fs::perms::owner_write | fs::perms::group_read;
  fs::permissions(file, wished);
  const fs::path kept = replace_keeping(file, bytes_of("one"), bytes_of("two"));
  EXPECT_EQ(fs::status(file).permissions(), wished);
  EXPECT_EQ(fs::status(kept).permissions() & ~wished, fs::perms::none);
}

void expect_untouched(const fs::path& folder, const fs::path& file, const std::string& before,
                      const std::string& words, ProblemKind kind) {
  const auto all = listing(folder);
  try {
    replace_keeping(file, bytes_of(before), bytes_of("new"));
    ADD_FAILURE() << "not refused: " << words;
  } catch (const Problem& problem) {
    EXPECT_NE(std::string(problem.what()).find(words), std::string::npos) << problem.what();
    EXPECT_EQ(problem.kind(), kind);
  }
  EXPECT_EQ(listing(folder), all);
}

TEST(KeptFile, RefusesWithoutATrace) {
  const TemporaryFolder folder;
  const fs::path file = folder.path() / "shelf.toml";
  write(file, "one");
  expect_untouched(folder.path(), file, "other", "has been changed meanwhile", ProblemKind::input);
  expect_untouched(folder.path(), folder.path() / "none.toml", "", "cannot be found", ProblemKind::input);
  expect_untouched(folder.path(), folder.path(), "", "is no file", ProblemKind::input);
  fs::permissions(file, fs::perms::owner_read);
  expect_untouched(folder.path(), file, "one", "is read-only", ProblemKind::other);
}

TEST(KeptFile, AnInterruptionLeavesAllAsItWas) {
  const TemporaryFolder folder;
  const fs::path file = folder.path() / "shelf.toml";
  write(file, "one");
  struct Stop {};
  EXPECT_THROW(replace_keeping(file, bytes_of("one"), bytes_of("two"), [] { throw Stop(); }), Stop);
  EXPECT_EQ(listing(folder.path()), (std::map<std::string, std::string>{{"shelf.toml", "one"}}));
}

}  // namespace
}  // namespace powderplan
