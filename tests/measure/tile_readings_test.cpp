// Rows of a tile read off a made-up photo (photo/photographed_card.h).
#include "measure/tile_readings.h"

#include <gtest/gtest.h>

#include "colour/difference.h"
#include "optics/finish.h"
#include "photo/photographed_card.h"
#include "problem.h"

namespace powderplan {
namespace {

// A row of four cells, 16 by 40 mm, with a colour of its own in every half, and its photo.
struct Photographed {
  Tile tile;
  Scene scene;
  std::vector<Lab> light{{92, 0, 2}, {80, -6, 12}, {65, -12, 20}, {50, -16, 22}};
  std::vector<Lab> dark{{12, 0, 0}, {25, -3, 5}, {35, -8, 12}, {45, -14, 20}};

  Photographed() {
    tile.card.marks = {{{14, 14}, {196, 14}, {196, 134}, {14, 134}}};
    tile.card.white = {{26, 5, 184, 23}, {26, 125, 184, 143}, {4, 26, 22, 122}, {188, 26, 206, 122}};
    tile.card_width = 210;
    tile.card_height = 148;
    tile.finish = Finish::contour;
    TileRow row{"samphire", "Samphire green", {}};
    for (int i = 0; i < 4; ++i) {
      const double left = 40 + 16.0 * i;
      const double load = i == 0 ? 0 : 0.05 * (1 << i);
      row.cells.push_back(
          {Load(load), Grams(load * 1.6 * 4.0), {left, 50, left + 16, 70}, {left, 70, left + 16, 90}});
    }
    tile.rows = {row};
    scene.card = tile.card;
    scene.width = tile.card_width;
    scene.height = tile.card_height;
    // Another colour at the very edges: they must not count.
    scene.boxes.push_back({{38, 48, 106, 92}, to_xyz(Lab{30, 50, 30})});
    for (std::size_t i = 0; i < row.cells.size(); ++i)
      for (const auto& [half, colour] :
           {std::pair{row.cells[i].light, light[i]}, std::pair{row.cells[i].dark, dark[i]}})
        scene.boxes.push_back(
            {{half.left + 1.5, half.top + 1.5, half.right - 1.5, half.bottom - 1.5}, to_xyz(colour)});
  }
  [[nodiscard]] CardPhoto photo() const { return {photograph(scene, Shot{}), tile.card, {}, "tile.jpg"}; }
};

TEST(TileReadings, AreTheMiddlesOfTheHalfCells) {
  const Photographed made;
  const Readings readings = read_row(made.tile, 0, made.photo(), Millimetres(0.12), Density(2.5));
  ASSERT_EQ(readings.grounds.size(), 2u);
  EXPECT_EQ(readings.grounds[0].name, "light");
  EXPECT_LT(ciede2000(made.light[0], lab_of(seen(readings.grounds[0].ground, {}))), 1);
  EXPECT_LT(ciede2000(made.dark[0], lab_of(seen(readings.grounds[1].ground, {}))), 1);
  ASSERT_EQ(readings.steps.size(), 6u);
  for (std::size_t i = 0; i < readings.steps.size(); ++i) {
    const StepReading& step = readings.steps[i];
    const std::size_t cell = 1 + i / 2;
    EXPECT_EQ(step.load, made.tile.rows[0].cells[cell].load);
    EXPECT_EQ(step.ground, i % 2);
    EXPECT_LT(ciede2000((i % 2 == 0 ? made.light : made.dark)[cell], measured_lab(step)), 1) << i;
  }
  EXPECT_EQ(readings.grain, Millimetres(0.12));
  EXPECT_EQ(readings.flow, flow_for(Finish::contour, Millimetres(0.12)));
}

TEST(TileReadings, CountTheGramsThatWereWeighed) {
  const Photographed made;
  const auto& cells = made.tile.rows[0].cells;
  const Readings readings =
      read_row(made.tile, 0, made.photo(), Millimetres(0.12), Density(2.5),
               {cells[1].grams, Grams(1.5 * cells[2].grams.value()), Grams(0.5 * cells[3].grams.value())});
  EXPECT_NEAR(readings.steps[1].load.value(), 0.1, 1e-12);
  EXPECT_NEAR(readings.steps[2].load.value(), 0.3, 1e-12);
  EXPECT_NEAR(readings.steps[5].load.value(), 0.2, 1e-12);
}

TEST(TileReadings, NameTheCellThatCannotBeRead) {
  Photographed made;
  made.tile.rows[0].cells[2].dark = {300, 70, 316, 90};
  try {
    read_row(made.tile, 0, made.photo(), Millimetres(0.12), Density(2.5));
    FAIL() << "a cell outside the photo was read";
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    EXPECT_NE(std::string(problem.what()).find("cell 3 of samphire on the dark ground"), std::string::npos)
        << problem.what();
  }
}

}  // namespace
}  // namespace powderplan
