#include "report/result_store.h"

#include <gtest/gtest.h>
#include <sys/stat.h>
#include <unistd.h>

#include <fstream>
#include <iterator>
#include <stdexcept>

#include "report/temporary_folder.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

const std::string one = "one", other = "other";

void keep(const ResultStore& store, const std::string& key, const std::string& text,
          Packing packing = Packing::deflated) {
  store.keep(
      key, [&](std::ostream& stream) { stream << text; }, packing);
}
// What was kept; "-" for nothing.
std::string found(const ResultStore& store, const std::string& key) {
  std::string text;
  const bool there = store.find(key, [&](std::istream& stream) {
    text.assign(std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>());
  });
  return there ? text : "-";
}

std::string long_text() {
  std::string text;
  for (unsigned i = 0; i < 200'000; ++i)
    text += static_cast<char>('a' + i * i % 23);
  return text;
}

TEST(ResultStore, GivesBackWhatWasKept) {
  const TemporaryFolder folder;
  const ResultStore store(folder.path() / "made" / "when-needed");
  EXPECT_EQ(found(store, one), "-");
  keep(store, one, long_text());
  keep(store, other, long_text() + "x", Packing::as_it_is);
  EXPECT_EQ(found(store, one), long_text());
  EXPECT_EQ(found(store, other), long_text() + "x");
  keep(store, one, "");
  EXPECT_EQ(found(store, one), "");
}

TEST(ResultStore, DamagedEntriesAreNone) {
  const TemporaryFolder folder;
  const ResultStore store(folder.path());
  keep(store, one, long_text());
  fs::path file;
  for (const auto& entry : fs::directory_iterator(folder.path()))
    file = entry.path();
  const auto size = fs::file_size(file);
  for (const std::uint64_t at : {std::uint64_t{20}, size / 2, size - 6}) {
    keep(store, one, long_text());
    {
      std::fstream bytes(file, std::ios::in | std::ios::out | std::ios::binary);
      bytes.seekg(static_cast<std::streamoff>(at));
      const char was = static_cast<char>(bytes.get());
      bytes.seekp(static_cast<std::streamoff>(at));
      bytes.put(static_cast<char>(was ^ 0x55));
    }
    EXPECT_EQ(found(store, one), "-") << "byte " << at << " of " << size;
  }
  for (const std::uint64_t length : {std::uint64_t{0}, std::uint64_t{9}, size / 2, size - 1}) {
    keep(store, one, long_text());
    fs::resize_file(file, length);
    // An empty file is an empty text to gzip; a reader that wants more finds nothing in it.
    const std::string left = found(store, one);
    EXPECT_TRUE(left == "-" || (length == 0 && left.empty())) << length;
  }
}

// In a folder that others may write to.
TEST(ResultStore, WhatSomebodyElsePutThereIsNotRead) {
  const TemporaryFolder folder;
  const ResultStore store(folder.path() / "shared");
  keep(store, one, "mine");
  fs::rename(folder.path() / "shared" / "one.kept", folder.path() / "elsewhere");
  fs::create_symlink(folder.path() / "elsewhere", folder.path() / "shared" / "one.kept");
  const auto before = fs::last_write_time(folder.path() / "elsewhere");
  EXPECT_EQ(found(store, one), "-");
  EXPECT_EQ(fs::last_write_time(folder.path() / "elsewhere"), before);
  keep(store, one, "mine again");
  EXPECT_EQ(found(store, one), "mine again");
  EXPECT_FALSE(fs::is_symlink(folder.path() / "shared" / "one.kept"));
  fs::copy_file(folder.path() / "shared" / "one.kept", folder.path() / "shared" / "other.kept");
  EXPECT_EQ(found(store, other), "-");
  fs::remove(folder.path() / "shared" / "one.kept");
  ASSERT_EQ(::mkfifo((folder.path() / "shared" / "one.kept").c_str(), 0600), 0);
  EXPECT_EQ(found(store, one), "-");
  keep(store, other, "mine");
  // Only root can make a file of somebody else's.
  EXPECT_EQ(found(store, other), "mine");
  if (::geteuid() == 0 && ::chown((folder.path() / "shared" / "other.kept").c_str(), 65534, 65534) == 0) {
    EXPECT_EQ(found(store, other), "-");
  }
}

TEST(ResultStore, ALinkWhereItWritesIsNotFollowed) {
  const TemporaryFolder folder;
  const fs::path elsewhere = folder.path() / "elsewhere";
  std::ofstream(elsewhere) << "not ours";
  fs::create_symlink(elsewhere, folder.path() / ("one.kept.partial-" + std::to_string(::getpid())));
  const ResultStore store(folder.path());
  keep(store, one, "mine");
  EXPECT_EQ(found(store, one), "mine");
  EXPECT_EQ(fs::file_size(elsewhere), 8U);
}

TEST(ResultStore, AReaderThatThrowsFindsNothing) {
  const TemporaryFolder folder;
  const ResultStore store(folder.path());
  keep(store, one, "something else");
  EXPECT_FALSE(store.find(one, [](std::istream&) { throw std::runtime_error("not mine"); }));
}

TEST(ResultStore, AWriterThatThrowsLeavesNothing) {
  const TemporaryFolder folder;
  const ResultStore store(folder.path());
  EXPECT_THROW(store.keep(one,
                          [](std::ostream& stream) {
                            stream << "half";
                            throw std::runtime_error("stop");
                          }),
               std::runtime_error);
  EXPECT_TRUE(fs::is_empty(folder.path()));
}

TEST(ResultStore, WhereNothingCanBeWrittenNothingIsKeptAndNothingSaid) {
  const TemporaryFolder folder;
  std::ofstream(folder.path() / "file") << "no folder";
  const ResultStore store(folder.path() / "file" / "below");
  keep(store, one, "text");
  EXPECT_EQ(found(store, one), "-");
}

TEST(ResultStore, WhatHasNotBeenUsedForLongestGoesFirst) {
  const TemporaryFolder folder;
  const ResultStore store(folder.path(), 250'000);
  keep(store, "a", std::string(100'000, 'a'), Packing::as_it_is);
  keep(store, "b", std::string(100'000, 'b'), Packing::as_it_is);
  // As if they were of yesterday, a used after b.
  for (const auto& entry : fs::directory_iterator(folder.path()))
    fs::last_write_time(entry.path(), fs::file_time_type::clock::now() - std::chrono::hours(24));
  EXPECT_EQ(found(store, "a").size(), 100'000u);
  keep(store, "c", std::string(100'000, 'c'), Packing::as_it_is);
  EXPECT_EQ(found(store, "b"), "-");
  EXPECT_EQ(found(store, "a").size(), 100'000u);
  EXPECT_EQ(found(store, "c").size(), 100'000u);
}

TEST(FingerprintOfProgram, IsOneForOneProgram) {
  EXPECT_EQ(fingerprint_of_program().size(), 64u);
  EXPECT_EQ(fingerprint_of_program(), fingerprint_of_program());
}

}  // namespace
}  // namespace powderplan
