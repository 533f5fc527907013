#include "report/files.h"

#include <gtest/gtest.h>
#include <sys/stat.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <functional>
#include <thread>

#include "problem.h"
#include "report/temporary_folder.h"

namespace powderplan {
namespace {

std::span<const std::uint8_t> bytes(const std::string& text) {
  return {reinterpret_cast<const std::uint8_t*>(text.data()), text.size()};
}

void write(const std::filesystem::path& file, const std::string& text) {
  std::ofstream(file, std::ios::binary) << text;
}

std::string message_of(const std::function<void()>& action) {
  try {
    action();
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    EXPECT_FALSE(problem.remedy().empty());
    return problem.what();
  }
  return "";
}

// FIPS 180-4 examples (NIST, "SHA256.pdf").
TEST(Sha256, PublishedExamples) {
  EXPECT_EQ(sha256(bytes("abc")), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(sha256(bytes("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq")),
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  EXPECT_EQ(sha256(std::span<const std::uint8_t>()),
            "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST(Sha256, DigitsAreThoseOfItsBytes) {
  const std::array<std::uint8_t, 32> digest = sha256_bytes(std::string("abc"));
  EXPECT_EQ(digest.front(), 0xba);
  EXPECT_EQ(digest[1], 0x78);
  EXPECT_EQ(digest.back(), 0xad);
}

// RFC 4648, section 10.
TEST(Base64, PublishedExamples) {
  const std::pair<std::string, std::string> examples[] = {{"", ""},
                                                          {"f", "Zg=="},
                                                          {"fo", "Zm8="},
                                                          {"foo", "Zm9v"},
                                                          {"foob", "Zm9vYg=="},
                                                          {"fooba", "Zm9vYmE="},
                                                          {"foobar", "Zm9vYmFy"}};
  for (const auto& [plain, coded] : examples)
    EXPECT_EQ(base64(bytes(plain)), coded);
}

TEST(ReadFile, SaysWhatIsWrongAndWhere) {
  const TemporaryFolder folder;
  const auto file = folder.path() / "shelf.toml";
  EXPECT_NE(message_of([&] { read_file(file); }).find("shelf.toml: no such file"), std::string::npos);
  EXPECT_NE(message_of([&] { read_file(folder.path()); }).find("is a folder"), std::string::npos);
  write(file, "0123456789");
  EXPECT_EQ(read_file(file, 10).size(), 10u);
  EXPECT_NE(message_of([&] { read_file(file, 9); }).find("larger than 9 bytes"), std::string::npos);
  // No size beforehand: stopped while reading.
  EXPECT_NE(message_of([&] { read_file("/dev/zero", 100000); }).find("larger"), std::string::npos);
  EXPECT_TRUE(read_file("/dev/null").empty());
}

TEST(ReadFile, APipeIsReadToItsEndAndNotWaitedForForEver) {
  const TemporaryFolder folder;
  const auto pipe = folder.path() / "pipe";
  ASSERT_EQ(::mkfifo(pipe.c_str(), 0600), 0);
  EXPECT_NE(
      message_of([&] { read_file(pipe); }).find("pipe: is a pipe, and nothing writes into it; name a file"),
      std::string::npos);
  // More than a pipe holds at a time, and with a pause: the end is where the writer goes.
  const std::string text(300'000, 'x');
  std::thread writer([&] {
    std::ofstream out(pipe, std::ios::binary);
    out << text.substr(0, 1000) << std::flush;
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
    out << text.substr(1000);
  });
  const std::vector<std::uint8_t> read = read_file(pipe);
  writer.join();
  EXPECT_EQ(std::string(read.begin(), read.end()), text);
}

TEST(ReadTextFile, IsUtf8WithoutAByteOrderMark) {
  const TemporaryFolder folder;
  const auto file = folder.path() / "shelf.toml";
  write(file, "\xef\xbb\xbfname = \"\xc3\xa9\"\n");
  EXPECT_EQ(read_text_file(file), "name = \"\xc3\xa9\"\n");
  write(file, "one\ntwo\nthr\xe9\x65\n");
  EXPECT_NE(message_of([&] { read_text_file(file); }).find("shelf.toml:3: is no text in UTF-8"),
            std::string::npos);
  write(file, std::string("a\0b", 3));
  EXPECT_NE(message_of([&] { read_text_file(file); }).find("shelf.toml: is no text file"), std::string::npos);
}

}  // namespace
}  // namespace powderplan
