// Which libraries a run of the program loads, as the dynamic linker tells it, and what is said when some of
// the program's own are missing.
#include <cstdlib>
#include <set>

#include "app/workbench.h"
#include "places.h"

namespace powderplan::testing {
namespace {

using Words = std::vector<std::string>;
using Names = std::set<std::string>;

// Of "/usr/lib/libcrypto.so.3" it is "libcrypto".
std::string name_of_library(const std::string& path) {
  const std::string file = fs::path(path).filename().string();
  return file.substr(0, file.find(".so"));
}

// What every program of C++ has, and what the sanitizers bring.
const Names usual{"ld-linux-x86-64", "libc",     "libm",  "libstdc++",  "libgcc_s", "libfmt",
                  "libasan",         "libubsan", "libdl", "libpthread", "librt"};

// The names of all others that were loaded. glibc's ld.so(8): LD_DEBUG=files writes "calling init: PATH" for
// each.
Names loaded_by(const Workbench& at, const Words& words, int code = 0) {
  setenv("LD_DEBUG", "files", 1);
  setenv("LD_DEBUG_OUTPUT", (at.bench().parent_path() / "loaded").c_str(), 1);
  const Ended ended = at.run(words);
  unsetenv("LD_DEBUG");
  unsetenv("LD_DEBUG_OUTPUT");
  EXPECT_EQ(ended.code, code) << ended.err;
  Names names;
  for (const auto& entry : fs::directory_iterator(at.bench().parent_path())) {
    if (!entry.path().filename().string().starts_with("loaded."))
      continue;
    std::ifstream in(entry.path());
    const std::string before = "calling init: ";
    for (std::string line; std::getline(in, line);)
      if (const std::size_t found = line.find(before); found != std::string::npos)
        if (const std::string name = name_of_library(line.substr(found + before.size()));
            !usual.contains(name))
          names.insert(name);
    fs::remove(entry.path());
  }
  return names;
}

bool any_begins(const Names& names, const std::string& with) {
  for (const std::string& name : names)
    if (name.starts_with(with))
      return true;
  return false;
}

TEST(Libraries, TheCommandLineNeedsItsWordsOnly) {
  const Workbench at;
  const Names words{"libpowderplan_app"};
  EXPECT_EQ(loaded_by(at, {"--help"}), words);
  EXPECT_EQ(loaded_by(at, {"--version"}), words);
  EXPECT_EQ(loaded_by(at, {"plan", "--help"}), words);
  EXPECT_EQ(loaded_by(at, {"compare", "--help"}), words);
  EXPECT_EQ(loaded_by(at, {"plna"}, 2), words);
  EXPECT_EQ(loaded_by(at, {"plan", "tile.png", "--layrs", "3"}, 2), words);
}

TEST(Libraries, WhatTellsInTextLoadsNothingThatDraws) {
  const Workbench at;
  const Names text{"libpowderplan_app", "libpowderplan_text"};
  EXPECT_EQ(loaded_by(at, {"palette", "shelf.toml"}), text);
  EXPECT_EQ(loaded_by(at, {"heat", "--segment", "300,800,10", "--palette", "shelf.toml"}), text);
}

TEST(Libraries, WhatDrawsLooksAtNoPicture) {
  const Workbench at;
  for (const Words& words : {Words{"palette", "shelf.toml", "--out", "chart.png"},
                             Words{"heat", "--segment", "300,800,10", "--plot", "heat.svg"},
                             Words{"compare", "--cards", "cards.pdf"}}) {
    const Names names = loaded_by(at, words);
    EXPECT_TRUE(names.contains("libcairo")) << words.front();
    EXPECT_FALSE(any_begins(names, "libopencv")) << words.front();
    EXPECT_FALSE(names.contains("libtiff")) << words.front();
    EXPECT_FALSE(names.contains("libwebp")) << words.front();
  }
}

TEST(Libraries, APlanLoadsOfOpenCvWhatItUsesAndStockNothingOfIt) {
  const Workbench at;
  const Names plan =
      loaded_by(at, {"plan", "tile.png", "--palette", "shelf.toml", "--width", "40", "--pitch-mm", "1"});
  Names opencv;
  for (const std::string& name : plan)
    if (name.starts_with("libopencv"))
      opencv.insert(name);
  EXPECT_EQ(opencv, (Names{"libopencv_core", "libopencv_imgproc"}));
  EXPECT_FALSE(plan.contains("libgdal"));
  EXPECT_FALSE(plan.contains("libpowderplan_compare"));
  EXPECT_EQ(loaded_by(at, {"stock", "tile-plan", "--palette", "shelf.toml"}),
            (Names{"libpowderplan_app", "libpowderplan_text", "libpowderplan_stock", "libcrypto"}));
}

// ---- Where they are found

// The program with the libraries of its own that are named, laid out below `root` as the build lays them out.
fs::path copied(const fs::path& root, const Words& libraries) {
  const fs::path program(built_program());
  fs::create_directories(root);
  fs::copy_file(program, root / "powderplan");
  for (const std::string& name : libraries) {
    fs::create_directories(root / "lib/powderplan");
    const fs::path file = fs::path("lib/powderplan") / ("libpowderplan_" + name + ".so");
    fs::copy_file(program.parent_path() / file, root / file);
  }
  return root / "powderplan";
}

TEST(OwnLibraries, AreFoundThroughALinkFromAnywhere) {
  const Workbench at;
  fs::create_symlink(built_program(), at.bench() / "pp");
  fs::create_symlink("pp", at.bench() / "qq");
  const Ended ended = at.run_program((at.bench() / "qq").string(), {"palette", "shelf.toml"});
  EXPECT_EQ(ended.code, 0) << ended.err;
}

TEST(OwnLibraries, AreFoundWhereTheyAreInstalled) {
  const Workbench at;
  copied(at.bench() / "lib-of/bin", {});
  copied(at.bench() / "built", {"app", "text"});
  fs::rename(at.bench() / "built/lib", at.bench() / "lib-of/lib");
  const Ended ended =
      at.run_program((at.bench() / "lib-of/bin/powderplan").string(), {"palette", "shelf.toml"});
  EXPECT_EQ(ended.code, 0) << ended.err;
}

TEST(OwnLibraries, OfACopyWithoutThemTheMessageSaysWhatIsMissing) {
  const Workbench at;
  const fs::path alone = copied(at.bench() / "alone", {});
  const Ended ended = at.run_program(alone.string(), {"--help"});
  EXPECT_EQ(ended.code, 1);
  EXPECT_EQ(ended.out, "");
  EXPECT_EQ(ended.err,
            "powderplan: " + (at.bench() / "alone/lib/powderplan").string() +
                ": this folder with the parts of the program is missing; install or build the program "
                "again, as a whole, and link to it rather than copy it\n");
}

TEST(OwnLibraries, OfACommandWithoutItsLibraryTheMessageSaysWhichIsMissing) {
  const Workbench at;
  const fs::path some = copied(at.bench() / "some", {"app", "text"});
  EXPECT_EQ(at.run_program(some.string(), {"palette", "shelf.toml"}).code, 0);
  const Ended ended = at.run_program(some.string(), {"stock", "plan", "--palette", "shelf.toml"});
  EXPECT_EQ(ended.code, 1);
  EXPECT_EQ(ended.out, "");
  EXPECT_EQ(ended.err, "powderplan: " + (at.bench() / "some/lib/powderplan/libpowderplan_stock.so").string() +
                           ": this part of the program is missing; install or build it again, as a whole\n");
}

}  // namespace
}  // namespace powderplan::testing
