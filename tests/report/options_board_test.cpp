// The board of options: what stands on it, and where the pictures lie.
#include "report/options_board.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "problem.h"
#include "report/fixture.h"
#include "report/options_files.h"
#include "report/temporary_folder.h"

namespace powderplan {
namespace {

PlanOption option(const std::string& layers) {
  return {{{"--layers", layers}}, glance_at(fixture::record()), {}};
}
PlanOption refused() {
  return {{{"--firings", "1"}}, std::nullopt, "--firings: too few; give 2"};
}

// Whether a picture stands somewhere on the board, point for point.
bool stands_on(const Image<Rgb8>& board, const Image<Rgb8>& picture) {
  for (int top = 0; top + picture.height() <= board.height(); ++top) {
    for (int left = 0; left + picture.width() <= board.width(); ++left) {
      bool same = true;
      for (int y = 1; same && y < picture.height() - 1; y += 3)
        for (int x = 1; same && x < picture.width() - 1; x += 3)
          same = board.at(left + x, top + y) == picture.at(x, y);
      if (same)
        return true;
    }
  }
  return false;
}

TEST(OptionsBoard, SaysWhatSetsAnOptionApart) {
  EXPECT_EQ(heading_of({{{"--layers", "8"}, {"--base", "white"}}, std::nullopt, {}}), "8 layers, base white");
  EXPECT_EQ(heading_of({{{"--firings", "1"}}, std::nullopt, {}}), "1 firing");
}

TEST(OptionsBoard, ShowsEveryPieceToOneScale) {
  PlanOption wide = option("6"), narrow = option("8");
  narrow.plan->width = wide.plan->width * 0.5;
  narrow.plan->height = wide.plan->height * 0.5;
  const Image<Rgb8> board = options_board({wide, narrow});
  EXPECT_EQ(board.width(), 1800);
  // The picture and two options: three columns of (1800 - 2 * 60 - 2 * 44) / 3.
  EXPECT_TRUE(stands_on(board, at_width(wide.plan->finished, 530)));
  EXPECT_TRUE(stands_on(board, at_width(narrow.plan->finished, 265)));
  EXPECT_TRUE(stands_on(board, at_width(wide.plan->target, 530)));
}

TEST(OptionsBoard, HasRoomForAnyNumber) {
  std::vector<PlanOption> options;
  for (int n = 1; n <= 12; ++n) {
    options.push_back(n == 5 ? refused() : option(std::to_string(n)));
    const Image<Rgb8> board = options_board(options);
    // White margins all round: nothing runs over.
    for (int x = 0; x < board.width(); ++x)
      EXPECT_EQ(board.at(x, board.height() - 8), (Rgb8{255, 255, 255})) << n << " options, column " << x;
    for (int y = 0; y < board.height(); ++y) {
      EXPECT_EQ(board.at(20, y), (Rgb8{255, 255, 255}));
      EXPECT_EQ(board.at(board.width() - 20, y), (Rgb8{255, 255, 255}));
    }
  }
}

TEST(OptionsFiles, FiguresAndPicturesOfEach) {
  const TemporaryFolder at;
  const std::vector<PlanOption> options{option("6"), refused()};
  EXPECT_EQ(write_options(options, check_options_folder(at.path() / "board", false)), "");
  const auto json = nlohmann::json::parse(options_json(options));
  EXPECT_EQ(json["schema"], options_schema);
  ASSERT_EQ(json["options"].size(), 2U);
  EXPECT_EQ(json["options"][0]["changed"]["--layers"], "6");
  EXPECT_EQ(json["options"][0]["plan"]["base"], "clear");
  EXPECT_EQ(json["options"][0]["plan"]["layers"], options[0].plan->layers);
  EXPECT_EQ(json["options"][1]["refused"], "--firings: too few; give 2");
  EXPECT_TRUE(std::filesystem::exists(at.path() / "board/options.png"));
  EXPECT_TRUE(std::filesystem::exists(at.path() / "board/options.json"));
  EXPECT_TRUE(std::filesystem::exists(at.path() / "board/pictures/1.png"));
  EXPECT_FALSE(std::filesystem::exists(at.path() / "board/pictures/2.png"));
  EXPECT_THROW(write_options(options, check_options_folder(at.path() / "board", false)), Problem)
      << "it is there already";
  EXPECT_EQ(write_options({option("8")}, check_options_folder(at.path() / "board", true)), "");
}

}  // namespace
}  // namespace powderplan
