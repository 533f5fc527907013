// The board of options, as the program makes it.
#include <nlohmann/json.hpp>

#include "app/workbench.h"

namespace powderplan::testing {
namespace {

const std::vector<std::string> small{"options", "tile.png", "--palette",  "shelf.toml",
                                     "--width", "40",       "--pitch-mm", "0.5"};

std::vector<std::string> small_with(const std::vector<std::string>& more) {
  std::vector<std::string> words = small;
  words.insert(words.end(), more.begin(), more.end());
  return words;
}

TEST(OptionsCommand, ComparesAndLeavesOneWholeFolder) {
  const Workbench at;
  const Ended ended = at.run(small_with({"--try", "layers=1,3", "--try", "base=white"}));
  EXPECT_EQ(ended.code, 0) << ended.err;
  const auto json = nlohmann::json::parse(text_of_file(at.bench() / "tile-options/options.json"));
  ASSERT_EQ(json["options"].size(), 2U);
  const auto &one = json["options"][0]["plan"], &three = json["options"][1]["plan"];
  EXPECT_EQ(one["layers"], 1);
  EXPECT_LE(three["layers"], 3);
  EXPECT_LT(three["mean_de00"], one["mean_de00"]) << "more layers come nearer";
  EXPECT_TRUE(fs::exists(at.bench() / "tile-options/options.png"));
  EXPECT_NE(ended.out.find("--layers 3 --base white"), std::string::npos) << ended.out;
  EXPECT_NE(ended.out.find("Look at tile-options/options.png"), std::string::npos) << ended.out;
  for (const auto& [name, bytes] : at.listing())
    EXPECT_EQ(name.find("partial"), std::string::npos) << name;
}

// What a plan of the same settings says.
TEST(OptionsCommand, FiguresAreThoseOfThePlan) {
  const Workbench at;
  ASSERT_EQ(at.run(small_with({"--try", "layers=2"})).code, 0);
  const auto plan =
      nlohmann::json::parse(text_of_file(at.bench() / "tile-options/options.json"))["options"][0]["plan"];
  std::vector<std::string> same = small_with({"--layers", "2"});
  same.front() = "plan";
  ASSERT_EQ(at.run(same).code, 0);
  const auto made = nlohmann::json::parse(text_of_file(at.bench() / "tile-plan/plan.json"));
  EXPECT_EQ(plan["mean_de00"], made["fidelity"]["mean_de00"]);
  EXPECT_EQ(plan["seen_mean_de00"], made["fidelity"]["seen_mean_de00"]);
  EXPECT_EQ(plan["cut_min"], made["effort"]["cut_min"]);
  EXPECT_EQ(plan["stencils"], made["effort"]["stencils"]);
  EXPECT_EQ(plan["base"], made["sheet"]["id"]);
  EXPECT_EQ(text_of_file(at.bench() / "tile-options/pictures/1.png"),
            text_of_file(at.bench() / "tile-plan/previews/fired-wall.png"));
}

TEST(OptionsCommand, TellsWhatCannotBeMadeBesideWhatCan) {
  const Workbench at;
  const Ended ended = at.run(small_with({"--use", "saltpan-white,creek-black", "--try", "layers=1,2"}));
  EXPECT_EQ(ended.code, 0) << ended.err;
  EXPECT_NE(ended.out.find("cannot be made"), std::string::npos) << ended.out;
  const Ended none =
      at.run(small_with({"--use", "saltpan-white,creek-black", "--try", "layers=1", "--out", "no"}));
  EXPECT_EQ(none.code, 4) << none.err;
  EXPECT_FALSE(fs::exists(at.bench() / "no"));
}

TEST(OptionsCommand, RefusesInOneLine) {
  const Workbench at;
  expect_refused(at, small_with({"--layers", "8", "--try", "layers=1,2"}), 2,
                 "powderplan: --layers: is given, and to be tried too; say its values in one place");
  expect_refused(at, small_with({"--try", "layer=1"}), 2,
                 "powderplan: --try: \"layer\" is no setting that can be tried; did you mean layers?");
  expect_refused(at, small_with({"--try", "layers=1,99"}), 2,
                 "powderplan: --layers: 99 is out of range; it must be 1 to 32");
}

}  // namespace
}  // namespace powderplan::testing
