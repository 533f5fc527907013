// The built program and good input: what it makes, what it says, and how it stops.
#include <algorithm>
#include <nlohmann/json.hpp>

#include "app/workbench.h"
#include "places.h"

namespace powderplan::testing {
namespace {

const std::vector<std::string> small_plan{"plan",    "tile.png", "--palette",  "shelf.toml",
                                          "--width", "40",       "--pitch-mm", "0.5"};

TEST(PlanRun, MakesThePlanBesideThePictureAndSaysWhereToLook) {
  const Workbench at;
  const Ended ended = at.run(small_plan);
  EXPECT_EQ(ended.code, 0) << ended.err;
  EXPECT_EQ(ended.err, "");
  EXPECT_TRUE(ended.out.starts_with("tile, 40 x 40 mm\n\n  base     ")) << ended.out;
  EXPECT_NE(ended.out.find("\nOpen tile-plan/worksheet.html at the bench"), std::string::npos) << ended.out;
  EXPECT_NE(ended.out.find("P100 or N95 respirator"), std::string::npos);
  EXPECT_TRUE(fs::exists(at.bench() / "tile-plan/plan.json"));
  EXPECT_TRUE(fs::exists(at.bench() / "tile-plan/worksheet.html"));
  for (const auto& [name, bytes] : at.listing())
    EXPECT_EQ(name.find("partial"), std::string::npos) << name;
}

TEST(PlanRun, ReplacesAPlanOnlyOnRequestAndMakesTheSameBytes) {
  const Workbench at;
  ASSERT_EQ(at.run(small_plan).code, 0);
  const auto first = at.listing();
  EXPECT_EQ(at.run(small_plan).code, 2);
  EXPECT_TRUE(at.listing() == first);
  std::vector<std::string> again = small_plan;
  again.insert(again.end(), {"--replace", "--threads", "1"});
  const Ended ended = at.run(again);
  EXPECT_EQ(ended.code, 0) << ended.err;
  EXPECT_TRUE(at.listing() == first);
}

TEST(PlanRun, CutsWhatIsLargerThanTheShelfIntoPanels) {
  const Workbench at;
  std::vector<std::string> words{"plan",          "tile.png", "--palette",  "shelf.toml",
                                 "--width",       "240",      "--pitch-mm", "1",
                                 "--smallest-mm", "4",        "--shelf",    "160x190"};
  const Ended ended = at.run(words);
  ASSERT_EQ(ended.code, 0) << ended.err;
  EXPECT_NE(ended.out.find("\n  panels   4: "), std::string::npos) << ended.out;
  const auto plan = nlohmann::json::parse(text_of_file(at.bench() / "tile-plan/plan.json"));
  EXPECT_EQ(plan["panels"].size(), 4U);
  EXPECT_TRUE(fs::exists(at.bench() / "tile-plan/panels/grams.csv"));
  words.back() = "100x500";
  EXPECT_EQ(at.run(words).code, 2);
  words.back() = "150x150";
  words.insert(words.end(), {"--width", "2000", "--pitch-mm", "5", "--replace"});
  words.erase(words.begin() + 4, words.begin() + 8);
  const Ended too_many = at.run(words);
  EXPECT_EQ(too_many.code, 4) << too_many.err;
  EXPECT_NE(too_many.err.find("more than 99 are not planned; give a shelf of "), std::string::npos)
      << too_many.err;
}

TEST(PlanRun, APieceThatFitsTheShelfIsPlannedAsWithoutIt) {
  const Workbench at;
  ASSERT_EQ(at.run(small_plan).code, 0);
  auto without = at.listing();
  std::vector<std::string> words = small_plan;
  words.insert(words.end(), {"--shelf", "200x200", "--replace"});
  ASSERT_EQ(at.run(words).code, 0);
  auto with = at.listing();
  auto plan = nlohmann::json::parse(with.at("tile-plan/plan.json"));
  std::erase_if(plan["settings"].get_ref<nlohmann::json::array_t&>(),
                [](const nlohmann::json& setting) { return setting["flag"] == "--shelf"; });
  EXPECT_EQ(plan, nlohmann::json::parse(without.at("tile-plan/plan.json")));
  // The page carries the fingerprint of plan.json.
  for (auto* files : {&with, &without})
    for (const char* name : {"tile-plan/plan.json", "tile-plan/worksheet.html"})
      files->erase(name);
  EXPECT_TRUE(with == without);
}

TEST(PlanRun, TakesNamesWithSpacesAndLettersOfAnyLanguage) {
  const Workbench at;
  fs::rename(at.bench() / "tile.png", at.bench() / "Säbelschnäbler im Watt 鷸.png");
  fs::rename(at.bench() / "shelf.toml", at.bench() / "my shelf.toml");
  at.write(
      "the piece.toml",
      "[piece]\nimage = \"Säbelschnäbler im Watt 鷸.png\"\npalette = \"my shelf.toml\"\nwidth_mm = 40\n");
  const Ended ended = at.run({"plan", "--piece", "the piece.toml"});
  EXPECT_EQ(ended.code, 0) << ended.err;
  EXPECT_TRUE(fs::exists(at.bench() / "Säbelschnäbler im Watt 鷸-plan/plan.json"));
}

TEST(PlanRun, AFlagWinsOverThePieceFile) {
  const Workbench at;
  at.write("piece.toml", "[piece]\nimage = \"tile.png\"\npalette = \"shelf.toml\"\nwidth_mm = 400\n");
  const Ended ended = at.run({"plan", "--piece", "piece.toml", "--width", "40"});
  EXPECT_EQ(ended.code, 0) << ended.err;
  EXPECT_TRUE(ended.out.starts_with("tile, 40 x 40 mm\n")) << ended.out;
  const std::string plan = text_of_file(at.bench() / "tile-plan/plan.json");
  EXPECT_NE(plan.find("piece.toml"), std::string::npos) << "the plan names the piece file among its inputs";
}

TEST(PlanRun, PowdersAreInTheFiringAndGetTheHeatThatWasAsked) {
  const Workbench at;
  std::vector<std::string> words = small_plan;
  words.insert(words.end(), {"--techniques", "stencil", "--use", "tide-blue,sorrel-red", "--in-firing",
                             "tide-blue=2", "--finish-of", "sorrel-red=tack", "--finish", "full"});
  const Ended ended = at.run(words);
  ASSERT_EQ(ended.code, 0) << ended.err;
  const auto plan = nlohmann::json::parse(text_of_file(at.bench() / "tile-plan/plan.json"));
  int blue = 0, red = 0;
  for (const auto& layer : plan.at("layers")) {
    const int firing = layer.at("firing").get<int>();
    const auto finish = plan.at("firings").at(static_cast<std::size_t>(firing - 1)).at("finish");
    if (layer.at("powder") == "tide-blue") {
      ++blue;
      EXPECT_EQ(firing, 2);
    }
    if (layer.at("powder") == "sorrel-red") {
      ++red;
      EXPECT_EQ(finish, "tack");
      EXPECT_GT(firing, 2) << "after the hotter firings";
    }
  }
  EXPECT_GT(blue, 0);
  EXPECT_GT(red, 0);
  EXPECT_EQ(plan.at("firings").back().at("finish"), "tack");
}

TEST(PlanRun, StoppedAtAnyMomentItLeavesNothingOrAWholePlan) {
  const Workbench at;
  const auto begin = std::chrono::steady_clock::now();
  ASSERT_EQ(at.run(small_plan).code, 0);
  const auto whole_run =
      std::chrono::duration_cast<std::chrono::milliseconds>(std::chrono::steady_clock::now() - begin);
  const auto plan = at.listing();
  fs::remove_all(at.bench() / "tile-plan");
  const auto before = at.listing();
  constexpr int moments = 16;
  for (int i = 0; i <= moments; ++i) {
    const int signal = i % 2 == 0 ? SIGINT : SIGTERM;
    const Ended ended = at.run(small_plan, signal, whole_run * i / moments);
    EXPECT_TRUE(ended.signal == signal || (ended.signal == 0 && ended.code == 0)) << ended.err;
    EXPECT_EQ(ended.err, "");
    const auto after = at.listing();
    // A signal may still come when the plan is in its place.
    EXPECT_TRUE(after == plan || (after == before && ended.signal == signal))
        << "stopped after " << (whole_run * i / moments).count() << " ms";
    fs::remove_all(at.bench() / "tile-plan");
  }
}

TEST(PlanRun, SaysWhenItsOutputGoesNowhere) {
  if (!fs::exists("/dev/full"))
    GTEST_SKIP() << "no /dev/full here";
  const Workbench at;
  const std::string command = "'" + built_program() + "' --version 2>&1 >/dev/full";
  std::FILE* pipe = popen(command.c_str(), "r");
  ASSERT_NE(pipe, nullptr);
  std::array<char, 256> line{};
  EXPECT_NE(std::fgets(line.data(), static_cast<int>(line.size()), pipe), nullptr);
  EXPECT_EQ(WEXITSTATUS(pclose(pipe)), 1);
  EXPECT_STREQ(line.data(), "powderplan: standard output: cannot be written; check where it goes\n");
}

TEST(PaletteRun, ListsTheShelfAndDrawsItsChart) {
  const Workbench at;
  const Ended ended = at.run({"palette", "shelf.toml", "--out", "chart.png"});
  EXPECT_EQ(ended.code, 0) << ended.err;
  EXPECT_EQ(ended.err, "");
  EXPECT_TRUE(
      ended.out.starts_with("Marsh, starter shelf: 8 powders, 3 sheets, expansion family family-a\n"));
  EXPECT_TRUE(ended.out.ends_with("\nThe chart is in chart.png.\n"));
  EXPECT_TRUE(text_of_file(at.bench() / "chart.png").starts_with("\x89PNG"));
  EXPECT_EQ(at.listing().size(), 3U);
}

}  // namespace
}  // namespace powderplan::testing
