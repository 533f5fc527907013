// A piece file reaches the request, key by key; what is wrong with it is said with its line, word for word.
#include "plan/piece_file.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <set>

#include "places.h"
#include "plan/setting_samples.h"
#include "problem.h"

namespace powderplan {
namespace {

std::string message(const std::string& toml) {
  try {
    parse_piece(toml, "work/piece.toml");
    return "";
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    return problem.what();
  }
}

TEST(PieceFile, EveryKeyReachesTheRequestAndNothingElse) {
  const PlanRequest usual;
  for (const Setting& setting : all_settings()) {
    ASSERT_TRUE(samples().contains(std::string(setting.key))) << setting.key;
    const Sample& sample = samples().at(std::string(setting.key));
    const PlanRequest request = parse_piece(line_of(setting, sample.toml), "work/piece.toml");
    for (const Setting& other : all_settings())
      EXPECT_EQ(other.shown(request), &other == &setting ? sample.shown : other.shown(usual))
          << setting.key << " and " << other.key;
    EXPECT_NE(setting.shown(usual), sample.shown) << setting.key;
  }
  EXPECT_EQ(samples().size(), all_settings().size());
}

TEST(PieceFile, KeysAndFlagsAreNamedOnce) {
  std::set<std::string_view> keys, flags;
  for (const Setting& setting : all_settings()) {
    EXPECT_TRUE(keys.insert(setting.key).second) << setting.key;
    EXPECT_TRUE(flags.insert(setting.flag).second) << setting.flag;
    EXPECT_EQ(setting_of_flag(setting.flag), &setting);
  }
  EXPECT_EQ(setting_of_flag("--no-such-flag"), nullptr);
}

TEST(PieceFile, AnEmptyFileKeepsEveryDefault) {
  const PlanRequest usual, request = parse_piece("", "piece.toml");
  for (const Setting& setting : all_settings())
    EXPECT_EQ(setting.shown(request), setting.shown(usual)) << setting.key;
  EXPECT_EQ(request.piece_file, "piece.toml");
}

TEST(PieceFile, NamesOfFilesThatNoFileCanHave) {
  EXPECT_EQ(
      message("[piece]\nimage = \"a.png\\u0000b\"\n"),
      "work/piece.toml:2: [piece]: 'image': holds the character U+0000, which no file name can; take it out");
  EXPECT_NE(message("[piece]\npalette = [\"a.toml\", \"b\\u0000.toml\"]\n").find("U+0000"),
            std::string::npos);
}

TEST(PieceFile, OnePaletteMayBeAText) {
  EXPECT_EQ(parse_piece("[piece]\npalette = \"a.toml\"\n", "piece.toml").palettes,
            std::vector<std::filesystem::path>{"a.toml"});
}

TEST(PieceFile, UnknownTablesAndKeys) {
  EXPECT_EQ(message("[piece]\n\n[limit]\nlayers = 3\n"),
            "work/piece.toml:3: piece file: [limit] is no table of it; did you mean [limits]?");
  EXPECT_EQ(message("[piece]\nwidht_mm = 300\n"),
            "work/piece.toml:2: [piece]: unknown key 'widht_mm'; did you mean 'width_mm'?");
  EXPECT_EQ(
      message("[firing]\nkiln = \"old\"\n"),
      "work/piece.toml:2: [firing]: unknown key 'kiln'; remove it; known keys are finish, between, raised, "
      "in_firing, finish_of, shelf, shelf_margin_mm");
  EXPECT_EQ(message("[piece]\nlayers = 3\n"),
            "work/piece.toml:2: [piece]: 'layers' does not belong here; move it to [limits]");
  EXPECT_EQ(message("piece = 3\n"),
            "work/piece.toml:1: 'piece' must be a table; start it with a line [piece]");
}

TEST(PieceFile, NumbersOutOfRange) {
  EXPECT_EQ(message("[piece]\nwidth_mm = 0\n"),
            "work/piece.toml:2: [piece]: 'width_mm' is 0; it must be 1 to 5000 mm");
  EXPECT_EQ(message("[piece]\nheight_mm = -20\n"),
            "work/piece.toml:2: [piece]: 'height_mm' is -20; it must be 1 to 5000 mm");
  EXPECT_EQ(message("[piece]\nwidth_mm = nan\n"),
            "work/piece.toml:2: [piece]: 'width_mm' is nan; it must be 1 to 5000 mm");
  EXPECT_EQ(message("[limits]\nload = inf\n"),
            "work/piece.toml:2: [limits]: 'load' is inf; it must be 0.01 to 5 g/cm2");
  EXPECT_EQ(message("[limits]\nlayers = 0\n"),
            "work/piece.toml:2: [limits]: 'layers' is 0; it must be 1 to 32");
  EXPECT_EQ(message("[limits]\nlayers = 2.5\n"),
            "work/piece.toml:2: [limits]: 'layers' is 2.5; it must be a whole number");
  EXPECT_EQ(message("[weigh]\ncomes_back = 80\n"),
            "work/piece.toml:2: [weigh]: 'comes_back' is 80; it must be 0 to 1");
}

TEST(PieceFile, StencilsHaveTheirTable) {
  EXPECT_EQ(message("[stencils]\nborder_mm = 300\n"),
            "work/piece.toml:2: [stencils]: 'border_mm' is 300; it must be 0 to 200 mm");
  EXPECT_EQ(message("[stencils]\npaper = \"a3\"\n"),
            "work/piece.toml:2: [stencils]: 'paper': \"a3\" is none of its values; choose one of a4, letter");
  EXPECT_EQ(message("[stencils]\nrepeats = \"often\"\n"),
            "work/piece.toml:2: [stencils]: 'repeats': \"often\" is none of its values; choose one of never, "
            "found, always");
  EXPECT_EQ(parse_piece("[stencils]\npaper = \"letter\"\n", "piece.toml").paper.width, paper_letter.width);
}

TEST(PieceFile, ReactionsNeedTwoPowdersAndAWord) {
  for (const char* said : {"a=avoid", "a+b", "+b=wish", "a+=wish", "a+b=", "=wish", ""})
    EXPECT_NE(message(fmt::format("[limits]\nreact = [\"{}\"]\n", said)), "") << said;
  EXPECT_EQ(
      message("[limits]\nreact = [\"a=avoid\"]\n"),
      "work/piece.toml:2: [limits]: 'react': \"a=avoid\" names no two powders and what is wanted of them; "
      "write it as ID+ID=avoid or ID+ID=wish");
  EXPECT_EQ(message("[limits]\nreact = [\"a+b=never\"]\n"),
            "work/piece.toml:2: [limits]: 'react': \"never\" is none of its words; say avoid to keep the two "
            "apart, or wish for the dark line between them");
}

TEST(PieceFile, FiringsOfPowdersNeedAPowderAndANumber) {
  for (const char* said : {"a", "=2", "a=", "a=0", "a=21", "a=2.5", "a=two", "a=-1", "a= 2", ""})
    EXPECT_NE(message(fmt::format("[firing]\nin_firing = [\"{}\"]\n", said)), "") << said;
  EXPECT_EQ(message("[firing]\nin_firing = [\"fog-white\"]\n"),
            "work/piece.toml:2: [firing]: 'in_firing': \"fog-white\" names no powder and firing; write it as "
            "ID=N, e.g. fog-white=2");
  EXPECT_EQ(
      message("[firing]\nin_firing = [\"fog-white=last\"]\n"),
      "work/piece.toml:2: [firing]: 'in_firing': \"last\" is no number of a firing; give a whole number "
      "from 1 to 20");
  EXPECT_EQ(parse_piece("[firing]\nin_firing = [\"a=b=20\"]\n", "piece.toml").in_firing,
            (std::vector<FiringOfPowder>{{"a=b", 20}}));
}

TEST(PieceFile, FinishesOfPowdersNeedAPowderAndAWord) {
  for (const char* said : {"a", "=tack", "a=", "a=Full", ""})
    EXPECT_NE(message(fmt::format("[firing]\nfinish_of = [\"{}\"]\n", said)), "") << said;
  EXPECT_EQ(message("[firing]\nfinish_of = [\"tack\"]\n"),
            "work/piece.toml:2: [firing]: 'finish_of': \"tack\" names no powder and finish; write it as "
            "ID=tack, ID=contour or ID=full");
  EXPECT_EQ(message("[firing]\nfinish_of = [\"fog-white=glossy\"]\n"),
            "work/piece.toml:2: [firing]: 'finish_of': \"glossy\" is no finish; choose from tack, contour, "
            "full");
}

TEST(PieceFile, EveryNumberRefusesNaNInfinityAndFarTooMuch) {
  for (const Setting& setting : all_settings()) {
    const std::string& sample = samples().at(std::string(setting.key)).toml;
    if (sample.find_first_not_of("0123456789.") != std::string::npos)
      continue;  // no number
    for (const char* value : {"nan", "-inf", "inf", "-1", "1e300"})
      EXPECT_NE(message(line_of(setting, value)), "") << setting.key << " = " << value;
  }
}

TEST(PieceFile, ValuesOfAnotherKind) {
  EXPECT_EQ(message("[piece]\nwidth_mm = \"300\"\n"),
            "work/piece.toml:2: [piece]: 'width_mm' must be a number; write it without quotes");
  EXPECT_EQ(message("[piece]\ntitle = \"\"\n"), "work/piece.toml:2: [piece]: 'title' is empty; fill it in");
  EXPECT_EQ(message("[piece]\nimage = 7\n"),
            "work/piece.toml:2: [piece]: 'image' must be a text; put it in quotes");
  EXPECT_EQ(
      message("[piece]\nfit = \"stretch\"\n"),
      "work/piece.toml:2: [piece]: 'fit': \"stretch\" is none of its values; choose one of fill, whole");
  EXPECT_EQ(message("[firing]\nfinish = \"unfired\"\n"),
            "work/piece.toml:2: [firing]: 'finish': \"unfired\" is none of its values; choose one of tack, "
            "contour, "
            "full");
  EXPECT_EQ(
      message("[piece]\nlight = \"sunset\"\n"),
      "work/piece.toml:2: [piece]: 'light': \"sunset\" is no light; use D65, D50, A, or daylight of 4000 to "
      "25000 K as 6000K");
  EXPECT_EQ(message("[piece]\nbacking = \"plaster\"\n"),
            "work/piece.toml:2: [piece]: 'backing': \"plaster\" is no colour; write it as \"#rrggbb\", e.g. "
            "\"#f0efe9\"");
  EXPECT_EQ(
      message("[piece]\ncrop = [0, 0, 1]\n"),
      "work/piece.toml:2: [piece]: 'crop' must be a list of 4 numbers; write them in brackets, with commas "
      "between");
  EXPECT_EQ(message("[piece]\ncrop = [0.5, 0, 0.5, 1]\n"),
            "work/piece.toml:2: [piece]: 'crop': nothing of the picture is left; give left, top, right, "
            "bottom, with "
            "left < right and top < bottom");
  EXPECT_EQ(message("[piece]\npalette = []\n"),
            "work/piece.toml:2: [piece]: 'palette': the list is empty; name at least one file");
  EXPECT_EQ(message("[limits]\nuse = [\"a\", \"\"]\n"),
            "work/piece.toml:2: [limits]: 'use': a name in it is empty; fill it in or take it out");
}

TEST(PieceFile, NoToml) {
  EXPECT_EQ(
      message("[piece]\nwidth_mm = 300 mm\n"),
      "work/piece.toml:2: 'width_mm' is 300 mm, which is no number; write digits alone, with a point for "
      "decimals, as 0.4, and no unit");
}

TEST(PieceFile, KnowsWhereAFlagIsSet) {
  const std::string toml = "[piece]\nwidth_mm = 300\n\n[limits]\nuse = [\"a\"]\n";
  EXPECT_EQ(place_in_piece(toml, "p.toml", "--use"), "p.toml:5");
  EXPECT_EQ(place_in_piece(toml, "p.toml", "--layers"), std::nullopt);
  EXPECT_EQ(place_in_piece(toml, "p.toml", "--out"), std::nullopt);
  EXPECT_EQ(place_in_piece("[[", "p.toml", "--use"), std::nullopt);
}

TEST(PieceFile, TheExamplesAreGood) {
  for (const char* name : {"avocet-window", "marsh-tile"}) {
    const std::filesystem::path file =
        std::filesystem::path(testing::source_folder()) / "examples" / name / "piece.toml";
    std::ifstream in(file);
    const PlanRequest request = parse_piece({std::istreambuf_iterator<char>(in), {}}, file);
    EXPECT_NO_THROW(check_together(request)) << name;
    EXPECT_TRUE(std::filesystem::exists(request.image)) << request.image;
    EXPECT_TRUE(std::filesystem::exists(request.palettes.at(0))) << request.palettes.at(0);
  }
}

TEST(Settings, WhatOnlyTogetherIsWrong) {
  const auto complaint = [](const PlanRequest& request) -> std::string {
    try {
      check_together(request);
      return "";
    } catch (const Problem& problem) {
      EXPECT_EQ(problem.kind(), ProblemKind::command_line);
      return problem.what();
    }
  };
  PlanRequest request;
  EXPECT_EQ(complaint(request),
            "IMAGE: no picture is given; name a photo or drawing, or a piece file with --piece");
  request.image = "a.png";
  EXPECT_EQ(complaint(request), "--palette: no palette is given; name the file of your shelf");
  request.palettes = {"p.toml"};
  EXPECT_EQ(complaint(request), "--width: the width of the piece is not given; give it in millimetres");
  request.size.width = Millimetres(100);
  EXPECT_EQ(complaint(request), "");
  request.use = request.without = {"a"};
  EXPECT_EQ(
      complaint(request),
      "--without: \"a\" is also a powder that must be in the plan; name it in one of --use and --without");
  request.without.clear();
  request.order = {"a", "b", "a"};
  EXPECT_EQ(complaint(request), "--order: \"a\" is named twice; name each powder once");
  request.order.clear();
  request.react = {{"a", "b", true}, {"b", "c", false}, {"a", "b", true}};
  EXPECT_EQ(complaint(request), "");
  request.react.push_back({"b", "a", false});
  EXPECT_EQ(complaint(request),
            "--react: \"a\" and \"b\" are both to be avoided and wished for; say one of avoid and wish for "
            "them");
  request.react.clear();
  request.smallest = Millimetres(4);  // bridges become as wide by themselves
  EXPECT_EQ(complaint(request), "");
  request.bridge = Millimetres(4);
  EXPECT_EQ(complaint(request), "");
  request.bridge = Millimetres(3);
  EXPECT_EQ(
      complaint(request),
      "--bridge-mm: a bridge of 3 mm is narrower than the 4 mm below which nothing is cut; give at least 4 "
      "mm, or lower --smallest-mm");
}

}  // namespace
}  // namespace powderplan
