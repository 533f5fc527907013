#include <gtest/gtest.h>

#include "app/workbench.h"
#include "measure/tile_file.h"

namespace powderplan::testing {
namespace {

TEST(TileCommand, WritesAFolderAndSaysWhatToDoNext) {
  const Workbench bench;
  const Ended ended =
      bench.run({"tile", "--palette", "shelf.toml", "--powder", "heron-grey,sedge-green", "--out", "t"});
  EXPECT_EQ(ended.err, "");
  ASSERT_EQ(ended.code, 0);
  for (const char* words : {"Step tile of 2 powders, fired to full", "heron-grey", "1 bare",
                            "of powder in all", "print templates.pdf at 100 %", "Respirator on"})
    EXPECT_NE(ended.out.find(words), std::string::npos) << words << " in:\n" << ended.out;
  const Tile tile = parse_tile(text_of_file(bench.bench() / "t/tile.json"), "tile.json");
  ASSERT_EQ(tile.rows.size(), 2u);
  EXPECT_EQ(tile.rows[1].powder, "sedge-green");
  EXPECT_EQ(tile.light_sheet, "white");
  EXPECT_EQ(tile.dark_sheet, "black");
  EXPECT_TRUE(text_of_file(bench.bench() / "t/templates.pdf").starts_with("%PDF"));
  EXPECT_TRUE(text_of_file(bench.bench() / "t/worksheet.html").starts_with("<!DOCTYPE html>"));
  EXPECT_EQ(bench.listing().size(), 2 + 4u) << "nothing else";
}

TEST(TileCommand, EveryOptionTellsInTheTile) {
  const Workbench bench;
  const Ended ended =
      bench.run({"tile",      "--palette", "shelf.toml", "--powder", "creek-black", "--cells", "4",
                 "--scale-g", "0.1",       "--cell-mm",  "30",       "--finish",    "tack",    "--paper",
                 "letter",    "--light",   "white",      "--dark",   "black",       "--out",   "t"});
  ASSERT_EQ(ended.code, 0) << ended.err;
  const Tile tile = parse_tile(text_of_file(bench.bench() / "t/tile.json"), "tile.json");
  EXPECT_EQ(tile.card_width, 215.9);
  EXPECT_EQ(tile.finish, Finish::tack);
  EXPECT_EQ(tile.scale, Grams(0.1));
  ASSERT_EQ(tile.rows[0].cells.size(), 4u);
  EXPECT_NEAR(tile.rows[0].cells[0].light.right - tile.rows[0].cells[0].light.left, 30, 1e-9);
}

TEST(TileCommand, TheSameTileIsTheSameBytes) {
  const Workbench bench;
  for (const char* name : {"a", "b"})
    ASSERT_EQ(bench.run({"tile", "--palette", "shelf.toml", "--powder", "tide-blue", "--out", name}).code, 0);
  for (const char* file : {"tile.json", "templates.pdf", "worksheet.html"})
    EXPECT_EQ(text_of_file(bench.bench() / "a" / file), text_of_file(bench.bench() / "b" / file)) << file;
}

TEST(TileCommand, ReplacesATileOnRequestAndNothingElse) {
  const Workbench bench;
  const std::vector<std::string> words{"tile",      "--palette", "shelf.toml", "--powder",
                                       "tide-blue", "--out",     "t"};
  std::vector<std::string> again = words;
  again.emplace_back("--replace");
  ASSERT_EQ(bench.run(words).code, 0);
  expect_refused(bench, words, 2,
                 "powderplan: BENCH/t: is already there; choose another name, or say --replace");
  EXPECT_EQ(bench.run(again).code, 0);
  bench.write("t/fired.jpg", "a photo");
  expect_refused(bench, again, 2,
                 "powderplan: BENCH/t: holds \"fired.jpg\", which is no part of a tile, and so is not "
                 "replaced; choose another name for the tile");
}

TEST(TileCommand, RefusesInOneLineWithTheRightCode) {
  const Workbench bench;
  const auto with = [](std::vector<std::string> more) {
    std::vector<std::string> words{"tile", "--palette", "shelf.toml", "--powder", "tide-blue", "--out", "t"};
    words.insert(words.end(), more.begin(), more.end());
    return words;
  };
  expect_refused(bench, {"tile", "--powder", "tide-blue", "--out", "t"}, 2,
                 "powderplan: --palette: is missing; name the file of your shelf");
  expect_refused(bench, {"tile", "--palette", "shelf.toml", "--powder", "tide-blue"}, 2,
                 "powderplan: --out: is missing; name a new folder, e.g. --out tile");
  expect_refused(
      bench, {"tile", "--palette", "shelf.toml", "--powder", "tide-blu", "--out", "t"}, 2,
      "powderplan: --powder: there is no powder \"tide-blu\" on the shelf; did you mean tide-blue?");
  expect_refused(bench, with({"--cells", "11"}), 2,
                 "powderplan: --cells: 11 is out of range; it must be 3 to 10");
  expect_refused(bench, with({"--cells", "4.5"}), 2,
                 "powderplan: --cells: 4.5 is no whole number; it must be 3 to 10");
  expect_refused(bench, with({"--scale-g", "0"}), 2,
                 "powderplan: --scale-g: 0 is out of range; it must be 0.0001 to 1 g");
  expect_refused(bench, with({"--finish", "unfired"}), 2,
                 "powderplan: --finish: \"unfired\" is none of its values; choose tack, contour or full");
  expect_refused(bench, with({"--paper", "a3"}), 2,
                 "powderplan: --paper: \"a3\" is none of its values; choose a4 or letter");
  expect_refused(bench, with({"--light", "clear"}), 2,
                 "powderplan: --light: the sheet \"clear\" is transparent; choose an opaque one: below clear "
                 "glass the paper shows, with air between");
  expect_refused(bench, with({"--palette", "none.toml"}), 2,
                 "powderplan: --palette: is given 2 times; give it once");
  expect_refused(bench, {"tile", "--palette", "none.toml", "--powder", "a", "--out", "t"}, 3,
                 "powderplan: none.toml: no such file; check the name and the folder");
  expect_refused(bench, {"tile", "--palette", "shelf.toml", "--powder", "tide-blue", "--out", "no/t"}, 1,
                 "powderplan: BENCH/no: is no folder; make it first, or choose another place for it");
}

}  // namespace
}  // namespace powderplan::testing
