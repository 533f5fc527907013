// The page for the client, made after the plan, and the piece in a photo of its room.
#include <memory>

#include "app/workbench.h"
#include "places.h"
#include "raster/picture.h"

namespace powderplan::testing {
namespace {

class ProofCommand : public ::testing::Test {
 protected:
  static void SetUpTestSuite() {
    made_ = std::make_unique<Workbench>();
    fs::copy_file(fs::path(source_folder()) / "examples/centre-wall/picture.png",
                  made_->bench() / "wall.png");
    const Ended ended =
        made_->run({"plan", "tile.png", "--palette", "shelf.toml", "--width", "200", "--pitch-mm", "1",
                    "--layers", "3", "--smallest-mm", "4", "--out", "tile-plan"});
    ASSERT_EQ(ended.code, 0) << ended.err;
  }
  static void TearDownTestSuite() { made_.reset(); }
  ProofCommand() {
    fs::copy(made_->bench(), bench.bench(),
             fs::copy_options::recursive | fs::copy_options::overwrite_existing);
  }
  [[nodiscard]] static std::vector<std::string> words(const std::vector<std::string>& more) {
    std::vector<std::string> all{"proof", "tile-plan", "--palette", "shelf.toml"};
    all.insert(all.end(), more.begin(), more.end());
    return all;
  }
  [[nodiscard]] static std::vector<std::string> in_room(const std::vector<std::string>& more) {
    std::vector<std::string> all =
        words({"--room", "wall.png", "--wall", "284,109,931,80,923,557,290,534", "--wall-mm", "1600,1100"});
    all.insert(all.end(), more.begin(), more.end());
    return all;
  }
  const Workbench bench;
  // NOLINTBEGIN(cppcoreguidelines-avoid-non-const-global-variables): shared by the tests of a suite
  static std::unique_ptr<Workbench> made_;
};
std::unique_ptr<Workbench> ProofCommand::made_;
// NOLINTEND(cppcoreguidelines-avoid-non-const-global-variables)

TEST_F(ProofCommand, IsThatOfThePlan) {
  const Ended ended = bench.run(words({}));
  EXPECT_EQ(ended.err, "");
  ASSERT_EQ(ended.code, 0);
  EXPECT_EQ(ended.out, "The proof is in tile-plan-proof.\n");
  EXPECT_EQ(text_of_file(bench.bench() / "tile-plan-proof/proof.png"),
            text_of_file(bench.bench() / "tile-plan/proof.png"))
      << "read back from the plan's folder, nothing of it is lost";
  EXPECT_EQ(text_of_file(bench.bench() / "tile-plan-proof/proof.pdf"),
            text_of_file(bench.bench() / "tile-plan/proof.pdf"));
  EXPECT_FALSE(fs::exists(bench.bench() / "tile-plan-proof/room.png"));
  expect_refused(
      bench, words({}), 2,
      "powderplan: BENCH/tile-plan-proof: is already there; choose another name, or say --replace");
}

TEST_F(ProofCommand, HangsThePieceWhereItIsAsked) {
  ASSERT_EQ(bench.run(in_room({"--out", "one"})).code, 0);
  ASSERT_EQ(bench.run(in_room({"--out", "other", "--at-mm", "400,300"})).code, 0);
  const Picture wall = read_picture(bench.bench() / "wall.png");
  const auto changed = [&](const char* folder) {
    const Picture room = read_picture(bench.bench() / folder / "room.png");
    EXPECT_EQ(room.pixels.width(), wall.pixels.width());
    double sum_x = 0, sum_y = 0, points = 0;
    for (int y = 0; y < room.pixels.height(); ++y) {
      for (int x = 0; x < room.pixels.width(); ++x) {
        if (std::abs(room.pixels.at(x, y).g - wall.pixels.at(x, y).g) < 0.02F)
          continue;
        sum_x += x;
        sum_y += y;
        points += 1;
      }
    }
    return std::array{sum_x / points, sum_y / points, points};
  };
  // Where the script that draws the wall (pixel_of) sees the middle of the rectangle, and its place 400, 300.
  const auto [x, y, points] = changed("one");
  EXPECT_NEAR(x, 588, 8);
  EXPECT_NEAR(y, 323, 8);
  EXPECT_GT(points, 3000) << "200 of 1600 mm, about 80 pixels a side, less what looks like the wall";
  EXPECT_LT(points, 9000);
  const auto [other_x, other_y, other_points] = changed("other");
  EXPECT_NEAR(other_x, 432, 8);
  EXPECT_NEAR(other_y, 224, 8);
  EXPECT_NE(text_of_file(bench.bench() / "one/proof.pdf"),
            text_of_file(bench.bench() / "tile-plan/proof.pdf"));
}

TEST_F(ProofCommand, RefusesInOneLine) {
  expect_refused(
      bench, words({"--at-mm", "1,2"}), 2,
      "powderplan: --at-mm: is of a room, and no photo of one is given; name the photo with --room");
  expect_refused(bench, words({"--room", "wall.png"}), 2,
                 "powderplan: --wall: is missing; give the four corners of something on the wall, in pixels");
  expect_refused(
      bench, in_room({"--at-mm", "-3000,0"}), 2,
      "powderplan: --at-mm: the piece does not lie whole in the photo there; put its middle elsewhere, or "
      "take a wider photo");
  expect_refused(bench, in_room({"--paint", "white"}), 2,
                 "powderplan: --paint: \"white\" is no colour; write it as \"#rrggbb\", e.g. \"#f0efe9\"");
  expect_refused(
      bench,
      words({"--room", "wall.png", "--wall", "931,80,284,109,290,534,923,557", "--wall-mm", "1600,1100"}), 2,
      "powderplan: --wall: these corners make no rectangle seen from its front; give top left, top "
      "right, bottom right, bottom left, in pixels");
}

}  // namespace
}  // namespace powderplan::testing
