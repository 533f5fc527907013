// The comparison of the trial plan with a made-up piece, as files.
#include "report/comparison_files.h"

#include <gtest/gtest.h>

#include <fstream>
#include <nlohmann/json.hpp>

#include "problem.h"
#include "raster/picture.h"
#include "report/files.h"
#include "report/made_up_comparison.h"
#include "report/temporary_folder.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::json;

TEST(ComparisonJson, SaysWhatWasFound) {
  const PlanRecord plan = fixture::record();
  const PieceComparison found = made_up_comparison(plan);
  const Json json = Json::parse(comparison_json(plan, found, "fired.jpg", {"a note"}));
  EXPECT_EQ(json["schema"], 1);
  EXPECT_EQ(json["photo"], "fired.jpg");
  EXPECT_EQ(json["title"], plan.title);
  EXPECT_EQ(json["after_firing"], found.firings_done);
  EXPECT_EQ(json["mean_de00"], 2.25);
  EXPECT_EQ(json["p95_de00"], 6);
  EXPECT_EQ(json["explained_mean_de00"], 0.75);
  EXPECT_EQ(json["notes"], Json({"a note"}));
  ASSERT_EQ(json["powders"].size(), 3u);
  EXPECT_EQ(json["powders"][0]["powder"], "dune-white");
  EXPECT_EQ(json["powders"][0]["factor"], 1.2);
  EXPECT_EQ(json["powders"][0]["off_by"], 0.04);
  EXPECT_EQ(json["powders"][0]["words"], in_words(found.powders[0]));
  ASSERT_EQ(json["layers"].size(), plan.layers.size());
  for (std::size_t i = 0; i < plan.layers.size(); ++i) {
    const Json& layer = json["layers"][i];
    EXPECT_EQ(layer["index"], i + 1);
    EXPECT_EQ(layer["powder"], plan.palette.powders[plan.layers[i].powder].id);
    EXPECT_EQ(layer["strength"], found.strength[i]);
    ASSERT_EQ(layer["regions"].size(), plan.layers[i].regions.size());
    EXPECT_EQ(layer["regions"][0]["area_cm2"], plan.layers[i].regions[0].area_cm2);
    EXPECT_EQ(layer["regions"][0]["lighter"], -1.5);
  }
}

TEST(ComparisonJson, StandsNamesThatAreNoText) {
  const PlanRecord plan = fixture::record();
  EXPECT_TRUE(Json::parse(comparison_json(plan, made_up_comparison(plan), "\xff\x01.jpg", {})).is_object());
}

std::string refusal(const fs::path& folder, bool replace, ProblemKind kind = ProblemKind::command_line) {
  const PlanRecord plan = fixture::record();
  try {
    write_comparison(plan, made_up_comparison(plan), "fired.jpg", {},
                     check_comparison_folder(folder, replace));
    return "written";
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), kind) << problem.what();
    return problem.what();
  }
}

TEST(Comparison, IsAFolderOfFourFiles) {
  const TemporaryFolder place;
  const fs::path folder = place.path() / "seen";
  ASSERT_EQ(refusal(folder, false), "written");
  std::size_t files = 0;
  for (const auto& entry : fs::directory_iterator(folder)) {
    EXPECT_TRUE(entry.is_regular_file());
    ++files;
  }
  EXPECT_EQ(files, 4u);
  EXPECT_EQ(Json::parse(read_text_file(folder / "compare.json"))["photo"], "fired.jpg");
  const Image<LinearPixel> seen = read_picture(folder / "seen.png").pixels;
  EXPECT_EQ(seen.width(), 32);
  EXPECT_EQ(seen.height(), 24);
  EXPECT_GT(read_picture(folder / "comparison.png").pixels.width(), 1000);
  EXPECT_GE(read_picture(folder / "difference.png").pixels.height(), 24);
}

TEST(Comparison, ReplacesAComparisonOnRequestOnlyAndNothingElse) {
  const TemporaryFolder place;
  const fs::path folder = place.path() / "seen";
  ASSERT_EQ(refusal(folder, false), "written");
  EXPECT_EQ(refusal(folder, false),
            folder.string() + ": is already there; choose another name, or say --replace");
  EXPECT_EQ(refusal(folder, true), "written");
  std::ofstream(folder / "mine.txt") << "mine";
  EXPECT_EQ(refusal(folder, true),
            folder.string() +
                ": holds \"mine.txt\", which is no part of a comparison, and so is not "
                "replaced; choose another name for the comparison");
  EXPECT_TRUE(fs::exists(folder / "mine.txt"));
  fs::remove(folder / "mine.txt");
  fs::remove(folder / "compare.json");
  EXPECT_EQ(refusal(folder, true),
            folder.string() +
                ": is there and is no comparison: it has no compare.json; choose another "
                "name for the comparison");
}

TEST(Comparison, LeavesNothingWhenInterrupted) {
  const TemporaryFolder place;
  const PlanRecord plan = fixture::record();
  int steps = 0;
  EXPECT_THROW(write_comparison(plan, made_up_comparison(plan), "fired.jpg", {},
                                check_comparison_folder(place.path() / "seen", false),
                                [&] {
                                  if (++steps == 3)
                                    throw std::runtime_error("stop");
                                }),
               std::runtime_error);
  EXPECT_TRUE(fs::is_empty(place.path()));
}

}  // namespace
}  // namespace powderplan
