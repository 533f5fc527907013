#include "report/inside_folder.h"

#include <gtest/gtest.h>
#include <sys/stat.h>

#include <fstream>

#include "problem.h"
#include "report/temporary_folder.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

// A plan folder, and a file beside it that is none of its business.
class InsideFolder : public ::testing::Test {
 protected:
  InsideFolder() : plan(all.path() / "plan"), secret(all.path() / "secret.png") {
    fs::create_directories(plan / "layers");
    std::ofstream(plan / "layers" / "1.png") << "one";
    std::ofstream(secret) << "secret";
  }
  [[nodiscard]] std::string message(const std::string& name) const {
    try {
      (void)file_inside(plan, name);
    } catch (const Problem& problem) {
      EXPECT_EQ(problem.kind(), ProblemKind::input);
      EXPECT_TRUE(problem.place().starts_with(plan.string())) << problem.place();
      return problem.wrong();
    }
    return "";
  }
  const TemporaryFolder all;
  const fs::path plan, secret;
};

TEST_F(InsideFolder, FilesOfTheFolder) {
  EXPECT_EQ(file_inside(plan, "layers/1.png"), plan / "layers/1.png");
  EXPECT_EQ(file_inside(plan, "layers/missing.png"), plan / "layers/missing.png");
  fs::create_symlink("1.png", plan / "layers" / "2.png");
  EXPECT_EQ(message("layers/2.png"), "");
  // Named by a link, it is the folder that the user meant.
  fs::create_directory_symlink(plan, all.path() / "link");
  EXPECT_EQ(file_inside(all.path() / "link", "layers/1.png"), all.path() / "link/layers/1.png");
}

TEST_F(InsideFolder, NamesThatLeadOut) {
  for (const std::string name : {"../secret.png", "layers/../../secret.png", "/etc/passwd", ""})
    EXPECT_EQ(message(name), "names the file \"" + name + "\", which lies outside of it");
  EXPECT_EQ(message(std::string("layers/1.png\0x", 14)),
            "names the file \"layers/1.png x\", which lies outside of it");
  EXPECT_NE(message(secret.string()).find("which lies outside of it"), std::string::npos);
}

TEST_F(InsideFolder, LinksThatLeadOut) {
  fs::create_symlink(secret, plan / "layers" / "2.png");
  EXPECT_EQ(message("layers/2.png"), "is a link to a place outside of the folder");
  fs::create_symlink("../secret.png", plan / "3.png");
  EXPECT_EQ(message("3.png"), "is a link to a place outside of the folder");
  fs::create_directory_symlink(all.path(), plan / "previews");
  EXPECT_EQ(message("previews/secret.png"), "is a link to a place outside of the folder");
  // A folder whose name begins like this one's.
  fs::create_directories(all.path() / "plan-2");
  fs::copy_file(secret, all.path() / "plan-2" / "x.png");
  fs::create_symlink("../plan-2/x.png", plan / "4.png");
  EXPECT_EQ(message("4.png"), "is a link to a place outside of the folder");
  fs::create_symlink("5.png", plan / "5.png");
  EXPECT_NE(message("5.png").find("cannot be looked at"), std::string::npos);
}

TEST_F(InsideFolder, WhatIsNoFile) {
  ASSERT_EQ(::mkfifo((plan / "pipe").c_str(), 0600), 0);
  EXPECT_EQ(message("pipe"), "is no file");
  EXPECT_EQ(message("layers"), "is no file");
}

}  // namespace
}  // namespace powderplan
