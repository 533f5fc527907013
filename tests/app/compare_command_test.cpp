// powderplan compare, as its users run it: on a small plan and a made-up photo of it.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "app/workbench.h"
#include "fired/planned_look.h"
#include "photo/photographed_card.h"
#include "photo/piece_card.h"
#include "places.h"
#include "report/files.h"
#include "report/plan_reader.h"

namespace powderplan::testing {
namespace {

using Json = nlohmann::json;

constexpr double room = 40;  // of white paper round the piece, mm

Palette shelf_of(const Workbench& bench) {
  return parse_palette(text_of_file(bench.bench() / "shelf.toml"), "shelf.toml");
}

// The piece after so many firings on its paper with the corner cards, one powder heavier than planned.
Scene scene_of(const PlanRecord& plan, std::size_t firings, const std::string& heavier, double factor) {
  PlanRecord made = plan;
  for (Layer& layer : made.layers)
    if (made.palette.powders[layer.powder].id == heavier)
      layer.load = layer.load * factor;
  const Grid& grid = plan.separation.grid;
  const Image<Xyz> look = look_on_grid(made, moment_after(firings - 1), Spectrum::constant(0.85), grid);
  const auto moved = [](const BoxMm& box) {
    return BoxMm{box.left + room, box.top + room, box.right + room, box.bottom + room};
  };
  Scene scene;
  scene.card = piece_card(plan.width, plan.height);
  for (PointMm& mark : scene.card.marks)
    mark = {mark.x + room, mark.y + room};
  for (BoxMm& white : scene.card.white)
    white = moved(white);
  scene.card.reference = moved(*scene.card.reference);
  scene.width = plan.width.value() + 2 * room;
  scene.height = plan.height.value() + 2 * room;
  scene.text = false;  // the paper is white
  const double pitch = grid.pitch.value();
  // Each reaches below the next, so that no paper shows between them.
  for (int y = 0; y < grid.height; ++y)
    for (int x = 0; x < grid.width; ++x)
      scene.boxes.push_back({moved({x * pitch, y * pitch, std::min(x + 2, grid.width) * pitch,
                                    std::min(y + 2, grid.height) * pitch}),
                             look.at(x, y)});
  return scene;
}

Shot usual_shot() {
  Shot shot;
  shot.tilt = 12;
  shot.tilt_axis = 30;
  shot.falloff = 0.1;
  return shot;
}

// A plan of two firings, made once.
class CompareCommand : public ::testing::Test {
 protected:
  static void SetUpTestSuite() {
    made_ = std::make_unique<Workbench>();
    fs::copy_file(fs::path(source_folder()) / "examples/avocet-window/picture.png",
                  made_->bench() / "avocet.png");
    const Ended ended =
        made_->run({"plan",      "avocet.png", "--palette",  "shelf.toml", "--techniques",  "stencil",
                    "--width",   "80",         "--pitch-mm", "1",          "--layers",      "4",
                    "--firings", "2",          "--base",     "white",      "--smallest-mm", "4",
                    "--out",     "plan"});
    ASSERT_EQ(ended.code, 0) << ended.err;
    const PlanRecord plan = read_plan(made_->bench() / "plan", shelf_of(*made_));
    ASSERT_EQ(plan.firing_plan.firings.size(), 2u);
    heavy_ = plan.palette.powders[plan.layers[plan.firing_plan.firings[0].layers[0]].powder].id;
    photograph_to(made_->bench() / "fired.jpg", scene_of(plan, 2, heavy_, 1.3), usual_shot());
    photograph_to(made_->bench() / "first.jpg", scene_of(plan, 1, heavy_, 1.3), usual_shot());
  }
  static void TearDownTestSuite() { made_.reset(); }
  CompareCommand() {
    fs::copy(made_->bench(), bench.bench(),
             fs::copy_options::recursive | fs::copy_options::overwrite_existing);
  }

  [[nodiscard]] static std::vector<std::string> words(const std::vector<std::string>& more,
                                                      const std::string& photo = "fired.jpg") {
    std::vector<std::string> all{"compare", photo, "--plan", "plan", "--palette", "shelf.toml"};
    all.insert(all.end(), more.begin(), more.end());
    return all;
  }

  const Workbench bench;
  // NOLINTBEGIN(cppcoreguidelines-avoid-non-const-global-variables): shared by the tests of a suite
  static std::unique_ptr<Workbench> made_;
  static std::string heavy_;  // the powder that is too heavy in the photos
};
std::unique_ptr<Workbench> CompareCommand::made_;
std::string CompareCommand::heavy_;
// NOLINTEND(cppcoreguidelines-avoid-non-const-global-variables)

TEST_F(CompareCommand, FindsThePowderThatIsTooHeavy) {
  const Ended ended = bench.run(words({}));
  EXPECT_EQ(ended.err, "");
  ASSERT_EQ(ended.code, 0);
  for (const std::string& said : {std::string("after firing 2 of 2: differs from the plan by "), heavy_ + " ",
                                  std::string("% heavier than planned ("), std::string("with these loads "),
                                  std::string("off most: region "), std::string("Note: no colour profile"),
                                  std::string("The comparison is in fired-compared.\n")})
    EXPECT_NE(ended.out.find(said), std::string::npos) << said << " in:\n" << ended.out;
  const Json json = Json::parse(text_of_file(bench.bench() / "fired-compared/compare.json"));
  EXPECT_EQ(json["photo"], "fired.jpg");
  for (const Json& powder : json["powders"])
    if (powder["powder"] == heavy_) {
      EXPECT_NEAR(powder["factor"].get<double>(), 1.3, 0.08);
    } else if (powder["off_by"].get<double>() < 0.1) {
      EXPECT_NEAR(powder["factor"].get<double>(), 1, 0.08) << powder["powder"];
    }
  EXPECT_LT(json["explained_mean_de00"], json["mean_de00"]);
  // Again: it is there.
  expect_refused(bench, words({}), 2,
                 "powderplan: BENCH/fired-compared: is already there; choose another name, or say --replace");
  EXPECT_EQ(bench.run(words({"--replace"})).code, 0);
}

TEST_F(CompareCommand, TellsWhatTheScaleSays) {
  const Json plan = Json::parse(text_of_file(bench.bench() / "plan/plan.json"));
  // What does not come back of the overspill is used up with what lands.
  double lost = 0;
  for (const Json& total : plan["totals"])
    if (total["powder"] == heavy_)
      lost = (total["used_g"].get<double>() - total["lands_g"].get<double>()) /
             (total["sift_g"].get<double>() - total["lands_g"].get<double>());
  Json layers = Json::array();
  for (const Json& layer : plan["layers"])
    if (layer["powder"] == heavy_)
      layers.push_back(
          {{"index", layer["index"]},
           {"grams", 1.3 * (layer["lands_g"].get<double>() + lost * layer["overspill_g"].get<double>())}});
  bench.write("bench.json", Json{{"schema", 1}, {"layers", layers}}.dump());
  const Ended ended = bench.run(words({"--weights", "bench.json"}));
  EXPECT_EQ(ended.err, "");
  EXPECT_NE(ended.out.find("30 % more was used than planned: the powder is as strong as the shelf says"),
            std::string::npos)
      << ended.out;
  const Json json = Json::parse(text_of_file(bench.bench() / "fired-compared/compare.json"));
  for (const Json& powder : json["powders"]) {
    if (powder["powder"] == heavy_) {
      EXPECT_NEAR(powder["weighed"].get<double>(), 1.3, 0.005);
    } else {
      EXPECT_TRUE(powder["weighed"].is_null());
    }
  }
  bench.write("bench.csv", "layer,grams\n99,3\n");
  expect_refused(bench, words({"--weights", "bench.csv", "--out", "other"}), 3,
                 "powderplan: bench.csv: the plan has " + std::to_string(plan["layers"].size()) +
                     " layers, and no layer 99; check its number on the worksheet");
}

TEST_F(CompareCommand, PlansTheRestAnew) {
  const Ended ended = bench.run(
      words({"--after-firing", "1", "--out", "seen", "--replan", "rest", "--threads", "1"}, "first.jpg"));
  EXPECT_EQ(ended.err, "");
  ASSERT_EQ(ended.code, 0);
  EXPECT_NE(ended.out.find("after firing 1 of 2"), std::string::npos);
  EXPECT_NE(ended.out.find("1 firing is done already"), std::string::npos) << ended.out;
  const PlanRecord plan = read_plan(bench.bench() / "plan", shelf_of(bench));
  const PlanRecord rest = read_plan(bench.bench() / "rest", shelf_of(bench));
  EXPECT_EQ(rest.firings_done, 1u);
  EXPECT_EQ(rest.firing_plan.firings.size(), 2u);
  EXPECT_NEAR(rest.layers[0].load.value(), 1.3 * plan.layers[0].load.value(),
              0.1 * plan.layers[0].load.value());
  EXPECT_EQ(rest.inputs.size(), plan.inputs.size()) << "what it was made from is still said";
  // The threads change nothing.
  ASSERT_EQ(
      bench.run(words({"--after-firing", "1", "--out", "seen-2", "--replan", "rest-2"}, "first.jpg")).code,
      0);
  EXPECT_EQ(text_of_file(bench.bench() / "rest/plan.json"), text_of_file(bench.bench() / "rest-2/plan.json"));
  EXPECT_EQ(text_of_file(bench.bench() / "seen/compare.json"),
            text_of_file(bench.bench() / "seen-2/compare.json"));
  // The rest is a plan like any other: its jars and the next photo.
  EXPECT_EQ(bench.run({"stock", "rest", "--palette", "shelf.toml"}).code, 0);
  EXPECT_NE(text_of_file(bench.bench() / "rest/worksheet.html").find("still to come, 1 firing done already"),
            std::string::npos);
}

TEST_F(CompareCommand, ThePieceMayBePointedOut) {
  const PlanRecord plan = read_plan(bench.bench() / "plan", shelf_of(bench));
  const Scene scene = scene_of(plan, 2, heavy_, 1.3);
  const Shot shot = usual_shot();
  const double w = plan.width.value(), h = plan.height.value();
  const auto pixels_of = [&](const std::array<PointMm, 4>& places) {
    std::string text;
    for (const PointMm& place : places) {
      const PhotoPoint at = seen_at(scene, shot, {place.x + room, place.y + room});
      text += fmt::format("{}{},{}", text.empty() ? "" : ",", at.x, at.y);
    }
    return text;
  };
  const std::string corners = pixels_of({{{0, 0}, {w, 0}, {w, h}, {0, h}}});
  ASSERT_EQ(bench.run(words({"--out", "marks"})).code, 0);
  ASSERT_EQ(bench.run(words({"--corners", corners, "--out", "corners"})).code, 0);
  const Json marks = Json::parse(text_of_file(bench.bench() / "marks/compare.json"));
  const Json pointed = Json::parse(text_of_file(bench.bench() / "corners/compare.json"));
  EXPECT_NEAR(marks["mean_de00"].get<double>(), pointed["mean_de00"].get<double>(), 0.5);
  expect_refused(
      bench, words({"--corners", corners, "--marks", corners}), 2,
      "powderplan: --corners: and --marks are both given; give the marks of the corner cards, or the "
      "corners of the piece");
}

TEST_F(CompareCommand, WritesTheCornerCards) {
  const Ended ended = bench.run({"compare", "--cards", "corners.pdf"});
  EXPECT_EQ(ended.err, "");
  ASSERT_EQ(ended.code, 0);
  EXPECT_TRUE(
      ended.out.starts_with("The corner cards are in corners.pdf: print at 100 % and cut them out.\n"));
  EXPECT_TRUE(text_of_file(bench.bench() / "corners.pdf").starts_with("%PDF-"));
  EXPECT_EQ(bench.run({"compare", "--cards", "corners.pdf"}).code, 2) << "it is there";
  ASSERT_EQ(bench.run({"compare", "--cards", "corners.pdf", "--paper", "letter", "--replace"}).code, 0);
  expect_refused(bench, {"compare", "--cards", "other.pdf", "--paper", "a3"}, 2,
                 "powderplan: --paper: \"a3\" is none of its values; choose a4 or letter");
  expect_refused(
      bench, {"compare", "fired.jpg", "--cards", "other.pdf"}, 2,
      "powderplan: --cards: and a photo are both given; print the cards first, and compare once the piece "
      "is photographed with them");
}

TEST_F(CompareCommand, RefusesInOneLineWithTheRightCode) {
  expect_refused(
      bench, {"compare"}, 2,
      "powderplan: PHOTO: is missing; name the photo of the piece; --cards writes the cards to lay round it");
  expect_refused(bench, {"compare", "fired.jpg"}, 2,
                 "powderplan: --plan: is missing; name the folder of the plan");
  expect_refused(bench, {"compare", "fired.jpg", "--plan", "plan"}, 2,
                 "powderplan: --palette: is missing; name the file of your shelf");
  expect_refused(bench, words({"--paper", "a4"}), 2,
                 "powderplan: --paper: is of the corner cards, and none are asked for; give it with --cards");
  expect_refused(bench, words({"--after-firing", "3"}), 2,
                 "powderplan: --after-firing: the plan has 2 firings; give 1 to 2");
  expect_refused(bench, words({"--after-firing", "0"}), 2,
                 "powderplan: --after-firing: 0 is out of range; it must be 1 to 1000");
  expect_refused(
      bench, words({"--replan", "rest"}), 2,
      "powderplan: --replan: there is no firing still to come; say which firing the photo was taken after "
      "with --after-firing");
  expect_refused(
      bench, words({"--after-firing", "1", "--replan", "./x", "--out", "x"}), 2,
      "powderplan: --replan: would go where the comparison goes, to x; give the new plan a folder of its "
      "own");
  expect_refused(
      bench, words({"--out", "plan", "--replace"}), 2,
      fmt::format("powderplan: BENCH/plan: holds \"{}\", which is no part of a comparison, and so is not "
                  "replaced; choose another name for the comparison",
                  fs::directory_iterator(bench.bench() / "plan")->path().filename().string()));
  expect_refused(
      bench, words({"--reference", "pink"}), 2,
      "powderplan: --reference: \"pink\" is none of its values; choose paper, paper=0.85, grey, grey=0.18, "
      "or the CSV file of a printed chart");
}

TEST_F(CompareCommand, RefusesFilesThatCannotBeRead) {
  const auto code_and_line = [&](const std::vector<std::string>& said) {
    const auto before = bench.listing();
    const Ended ended = bench.run(said);
    EXPECT_TRUE(bench.listing() == before);
    EXPECT_EQ(ended.out, "");
    EXPECT_EQ(std::count(ended.err.begin(), ended.err.end(), '\n'), 1) << ended.err;
    return fmt::format("{} {}", ended.code, ended.err);
  };
  EXPECT_TRUE(code_and_line(words({}, "none.jpg")).starts_with("3 powderplan: none.jpg: "));
  // A picture without marks.
  EXPECT_TRUE(code_and_line(words({}, "tile.png")).starts_with("3 powderplan: tile.png: "))
      << code_and_line(words({}, "tile.png"));
  bench.write("other.toml", [&] {
    std::string toml = text_of_file(bench.bench() / "shelf.toml");
    for (std::size_t at = toml.find(heavy_); at != std::string::npos; at = toml.find(heavy_))
      toml.replace(at, heavy_.size(), "snow");
    return toml;
  }());
  EXPECT_EQ(
      code_and_line({"compare", "fired.jpg", "--plan", "plan", "--palette", "other.toml"}).substr(0, 49),
      "3 powderplan: plan/separation/separation.json: ne");
  bench.write("plan/plan.json", "{}");
  EXPECT_EQ(code_and_line(words({})),
            "3 powderplan: plan/plan.json: is not the file of a plan: it has no 'schema'; check that you "
            "have named "
            "the right file\n");
}

}  // namespace
}  // namespace powderplan::testing
