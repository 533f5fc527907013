#include "raster/write_bytes.h"

#include "raster/picture_files.h"

namespace powderplan::testing {
namespace {

TEST(WriteBytes, WritesAndReplaces) {
  const Folder folder;
  const auto file = folder.path() / "a.png";
  write_bytes(file, {1, 2, 3});
  EXPECT_EQ(read_file(file), (FileBytes{1, 2, 3}));
  write_bytes(file, {});
  EXPECT_EQ(read_file(file), FileBytes{});
}

TEST(WriteBytes, ANewFileReplacesNothingAndFollowsNoLink) {
  const Folder folder;
  const auto file = folder.path() / "a.png", link = folder.path() / "b.png";
  write_new_file(file, {1, 2, 3});
  EXPECT_EQ(read_file(file), (FileBytes{1, 2, 3}));
  std::filesystem::create_symlink(file, link);
  for (const auto& there : {file, link})
    EXPECT_EQ(
        message_of([&] { write_new_file(there, {4}); }, folder.path()),
        there.filename().string() + ": cannot be written: File exists; check the folder and its permissions");
  EXPECT_EQ(read_file(file), (FileBytes{1, 2, 3}));
}

TEST(WriteBytes, SaysWhyItCannot) {
  const Folder folder;
  EXPECT_EQ(message_of([&] { write_bytes(folder.path() / "no" / "a.png", {1}); }, folder.path()),
            "no/a.png: cannot be written: No such file or directory; check the folder and its permissions");
  EXPECT_EQ(
      message_of([&] { write_bytes(folder.path(), {1}); }),
      folder.path().string() + ": cannot be written: Is a directory; check the folder and its permissions");
  EXPECT_EQ(message_of([] { write_bytes("/dev/full", FileBytes(100000, 1)); }),
            "/dev/full: cannot be written: No space left on device; free some space and try again");
  EXPECT_EQ(message_of([] { write_bytes("/dev/full", {1}); }),
            "/dev/full: cannot be written: No space left on device; free some space and try again");
}

}  // namespace
}  // namespace powderplan::testing
