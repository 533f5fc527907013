#include <fmt/format.h>
#include <gtest/gtest.h>

#include "app/workbench.h"
#include "colour/difference.h"
#include "glass/palette.h"
#include "measure/known_tile.h"
#include "measure/tile_file.h"
#include "photo/photographed_card.h"

namespace powderplan::testing {
namespace {

const known::Glass& heron() {
  static const known::Glass glass = [] {
    known::Glass made = known::made_up(6, true);
    made.grain_mm = 0.09;  // that of heron-grey in the palette
    return made;
  }();
  return glass;
}

// Exact spectra of steps of that glass over light and dark.
std::string spectra_of(const known::Glass& glass, const std::vector<double>& loads) {
  std::vector<std::pair<std::string, known::Bands>> columns;
  for (const bool dark : {false, true}) {
    const char* name = dark ? "dark" : "light";
    const known::Bands ground = dark ? known_tile::dark_ground() : known_tile::light_ground();
    columns.emplace_back(fmt::format("reflectance 0 {}", name), known::seen(glass, 0, ground));
    for (const double load : loads)
      columns.emplace_back(fmt::format("reflectance {} {}", load, name), known::seen(glass, load, ground));
  }
  std::string text = "wavelength_nm";
  for (const auto& [name, bands] : columns)
    text += "," + name;
  for (std::size_t b = 0; b < band_count; ++b) {
    text += fmt::format("\n{}", band_nm(b));
    for (const auto& [name, bands] : columns)
      text += fmt::format(",{:.6f}", bands[b]);
  }
  return text + "\n";
}

// How far a powder of a palette is from the glass at loads that were not measured.
double error_against(const known::Glass& glass, const Powder& powder) {
  const known_tile::KnownTile tile(glass, true);
  return known_tile::mean(tile.unseen_errors(powder.optics));
}

Palette shelf_of(const Workbench& bench) {
  return parse_palette(text_of_file(bench.bench() / "shelf.toml"), "shelf.toml");
}

TEST(FitCommand, MeasuresAPowderBySpectra) {
  const Workbench bench;
  const std::vector<double> loads{0.02, 0.05, 0.1, 0.2};
  bench.write("heron.csv", spectra_of(heron(), loads));
  const auto before = bench.listing();
  const std::vector<std::string> words{"fit",        "--spectra", "heron.csv", "--palette",
                                       "shelf.toml", "--powder",  "heron-grey"};
  const Ended ended = bench.run(words);
  EXPECT_EQ(ended.err, "");
  ASSERT_EQ(ended.code, 0);
  for (const char* say :
       {"heron.csv: 8 spectra", "load g/cm2  ground  measured  predicted  difference  left out",
        "0.0200  light", "0.2000  dark", "Mean difference 0.0", "\nk = [",
        "\nspreads = ", "\nexpected_error = 0.", "Nothing was changed; --update writes it"})
    EXPECT_NE(ended.out.find(say), std::string::npos) << say << " in:\n" << ended.out;
  EXPECT_TRUE(bench.listing() == before);

  std::vector<std::string> more = words;
  more.insert(more.end(), {"--update", "--chart", "fit.png"});
  const Ended written = bench.run(more);
  ASSERT_EQ(written.code, 0) << written.err;
  EXPECT_NE(written.out.find("The chart is in fit.png."), std::string::npos);
  EXPECT_NE(written.out.find("Written into shelf.toml; the old palette is "), std::string::npos)
      << written.out;
  EXPECT_TRUE(text_of_file(bench.bench() / "fit.png").starts_with("\x89PNG"));
  const auto after = bench.listing();
  EXPECT_EQ(after.size(), before.size() + 2);
  EXPECT_EQ(after.at("shelf.before-1.toml"), before.at("shelf.toml"));
  const Palette shelf = shelf_of(bench);
  const Powder& powder = *shelf.find_powder("heron-grey");
  EXPECT_TRUE(powder.measured);
  EXPECT_LT(powder.expected_de00, 0.3);
  ASSERT_EQ(powder.optics.grain.value(), heron().grain_mm);
  EXPECT_LT(error_against(heron(), powder), 0.1);
  more.pop_back();
  more.emplace_back("fit.png");
  expect_refused(bench, more, 2,
                 "powderplan: fit.png: is already there; choose another name, or say --replace");
  // Measured again, the older palette stays too.
  more.emplace_back("--replace");
  EXPECT_EQ(bench.run(more).code, 0);
  EXPECT_EQ(bench.listing().at("shelf.before-2.toml"), after.at("shelf.toml"));
  // Nobody else was touched.
  for (const Powder& other : shelf.powders)
    if (other.id != "heron-grey") {
      EXPECT_FALSE(other.measured) << other.id;
    }
}

TEST(FitCommand, AddsAPowderThatIsNotThereYet) {
  const Workbench bench;
  bench.write("new.csv", spectra_of(heron(), {0.02, 0.05, 0.1, 0.2}));
  const Ended ended = bench.run({"fit", "--spectra", "new.csv", "--palette", "shelf.toml", "--powder",
                                 "plover-gold", "--body", "opalescent", "--grain", "0.09", "--update"});
  ASSERT_EQ(ended.code, 0) << ended.err;
  EXPECT_NE(ended.out.find("[[powder]]\nid = \"plover-gold\"\nbody = \"opalescent\"\ngrain_mm = 0.09\nk = ["),
            std::string::npos)
      << ended.out;
  const Palette shelf = shelf_of(bench);
  ASSERT_EQ(shelf.powders.back().id, "plover-gold");
  EXPECT_EQ(shelf.powders.back().body, Body::opalescent);
  EXPECT_LT(error_against(heron(), shelf.powders.back()), 0.1);
}

TEST(FitCommand, TakesSwatches) {
  const Workbench bench;
  const Ended ended =
      bench.run({"fit", "--swatch", "0.1,white,#c8c2ba", "--swatch", "0.4,white,#8f8a85", "--swatch",
                 "0.4,black,#4a4a4c", "--palette", "shelf.toml", "--powder", "heron-grey"});
  ASSERT_EQ(ended.code, 0) << ended.err;
  EXPECT_NE(ended.out.find("3 fired swatches"), std::string::npos);
  EXPECT_NE(ended.out.find("0.4000  black   #4a4a4c"), std::string::npos) << ended.out;
  EXPECT_NE(ended.out.find("Note: fewer than 4 loads"), std::string::npos);
}

// A tile is planned, its card made up as fired with two known glasses, photographed askew in uneven light,
// and measured: the palette then predicts those glasses.
class FittedPhoto : public ::testing::Test {
 protected:
  void SetUp() override {
    const Ended planned =
        bench.run({"tile", "--palette", "shelf.toml", "--powder", "heron-grey,sedge-green", "--out", "t"});
    ASSERT_EQ(planned.code, 0) << planned.err;
    tile = parse_tile(text_of_file(bench.bench() / "t/tile.json"), "tile.json");
    const Palette shelf = shelf_of(bench);
    scene.card = tile.card;
    scene.width = tile.card_width;
    scene.height = tile.card_height;
    const Observer see(illuminant_d65());
    for (std::size_t r = 0; r < tile.rows.size(); ++r) {
      known::Glass glass = known::made_up(r == 0 ? 6U : 9U, true);
      glass.grain_mm = shelf.find_powder(tile.rows[r].powder)->optics.grain.value();
      for (const TileCell& cell : tile.rows[r].cells) {
        const auto as_seen = [&](const known::Bands& ground) {
          return see(known_tile::spectrum(known::seen(glass, cell.load.value(), ground)));
        };
        scene.boxes.push_back({cell.light, as_seen(known_tile::light_ground())});
        scene.boxes.push_back({cell.dark, as_seen(known_tile::dark_ground())});
      }
      glasses.push_back(glass);
    }
    shot.width = 2400;
    shot.height = 1800;
    if (scene.height > scene.width)
      std::swap(shot.width, shot.height);
    shot.fills = 0.85;
    shot.tilt = 8;
    shot.falloff = 0.15;
    photograph_to(bench.bench() / "fired.jpg", scene, shot);
  }

  [[nodiscard]] Ended fit(std::vector<std::string> more) const {
    more.insert(more.begin(), {"fit", "fired.jpg", "--tile", "t", "--palette", "shelf.toml"});
    return bench.run(more);
  }

  Workbench bench;
  Tile tile;
  Scene scene;
  Shot shot;
  std::vector<known::Glass> glasses;
};

TEST_F(FittedPhoto, PredictsTheGlassesThatWereSifted) {
  const Ended ended = fit({"--update", "--chart", "fit.png"});
  EXPECT_EQ(ended.err, "");
  ASSERT_EQ(ended.code, 0);
  const Palette shelf = shelf_of(bench);
  for (std::size_t r = 0; r < glasses.size(); ++r) {
    const Powder& powder = *shelf.find_powder(tile.rows[r].powder);
    EXPECT_TRUE(powder.measured);
    EXPECT_LT(error_against(glasses[r], powder), 0.9) << powder.id << "\n" << ended.out;
  }
  EXPECT_NE(ended.out.find(fmt::format("row 2 of 2: {} loads on a light and a dark sheet, fired to full",
                                       tile.rows[1].cells.size() - 1)),
            std::string::npos)
      << ended.out;
}

TEST_F(FittedPhoto, CountsTheGramsThatWereWeighed) {
  std::vector<double> grams;
  for (const TileCell& cell : tile.rows[0].cells)
    if (cell.grams > Grams(0))
      grams.push_back(2 * cell.grams.value());
  const Ended ended =
      fit({"--powder", "heron-grey", "--grams", fmt::format("heron-grey={:.4f}", fmt::join(grams, ","))});
  ASSERT_EQ(ended.code, 0) << ended.err;
  EXPECT_NE(ended.out.find("grams as weighed"), std::string::npos);
  EXPECT_NE(ended.out.find(fmt::format("{:.4f}  light", 2 * tile.rows[0].cells.back().load.value())),
            std::string::npos)
      << ended.out;
  EXPECT_EQ(ended.out.find("sedge-green"), std::string::npos);
}

TEST_F(FittedPhoto, RefusesWhatDoesNotBelongToTheTile) {
  const auto refused = [&](std::vector<std::string> more, const std::string& line) {
    more.insert(more.begin(), {"fit", "fired.jpg", "--tile", "t", "--palette", "shelf.toml"});
    expect_refused(bench, more, 2, "powderplan: " + line);
  };
  refused({"--powder", "tide-blue"},
          "--powder: there is no powder \"tide-blue\" on this tile; choose of heron-grey, sedge-green");
  refused({"--powder", "heron-gray"},
          "--powder: there is no powder \"heron-gray\" on this tile; did you mean heron-grey?");
  refused({"--grams", "0.1,0.2"},
          "--grams: \"0.1,0.2\" names no powder; write ID=G,G,... with a weight for each cell that carries "
          "powder, the lightest first");
  refused({"--grams", "tide-blue=0.1"},
          "--grams tide-blue: is not on this tile; it has heron-grey and sedge-green");
  refused(
      {"--grams", "heron-grey=0.1,0.2"},
      fmt::format("--grams heron-grey: \"0.1,0.2\" is not {} numbers; write them without spaces, with commas "
                  "between",
                  tile.rows[0].cells.size() - 1));
  const std::vector<double> weights(tile.rows[0].cells.size() - 1, 0.5);
  refused({"--powder", "sedge-green", "--grams", fmt::format("heron-grey={}", fmt::join(weights, ","))},
          "--grams heron-grey: is not among the powders of --powder; leave it out, or name it there");
  refused({"--marks", "1,2,3"},
          "--marks: \"1,2,3\" is not 8 numbers; write them without spaces, with commas between");
  refused({"--reference", "card"},
          "--reference: \"card\" is none of its values; choose paper, paper=0.85, grey, grey=0.18, or the "
          "CSV file "
          "of a printed chart");
  refused({"--reference", "grey=18"}, "--reference grey: 18 is out of range; it must be 0.05 to 1");
  refused({"--gloss", "included"}, "--gloss: belongs to --spectra; leave it out");
  refused({"--body", "opalescent"},
          "--body: belongs to a powder that is not on the shelf yet; those of a tile are; leave it out");
  std::string shelf = text_of_file(bench.bench() / "shelf.toml");
  shelf.replace(shelf.find("\"sedge-green\""), 13, "\"sedge-gren\"");
  bench.write("other.toml", shelf);
  expect_refused(
      bench, {"fit", "fired.jpg", "--tile", "t", "--palette", "other.toml"}, 3,
      "powderplan: other.toml: there is no powder \"sedge-green\", which is on the tile; did you mean "
      "sedge-gren?");
  expect_refused(bench, {"fit", "none.jpg", "--tile", "t", "--palette", "shelf.toml"}, 3,
                 "powderplan: none.jpg: no such file; check the name and the folder");
  expect_refused(bench, {"fit", "tile.png", "--tile", "none", "--palette", "shelf.toml"}, 3,
                 "powderplan: none: no such file; check the name and the folder");
}

TEST(FitCommand, RefusesInOneLineWithTheRightCode) {
  const Workbench bench;
  bench.write("s.csv", spectra_of(heron(), {0.02, 0.05, 0.1, 0.2}));
  bench.write("bare.csv", "wavelength_nm,reflectance 0 light\n400,0.5\n");
  const auto refused = [&](std::vector<std::string> more, const std::string& line, int code = 2) {
    more.insert(more.begin(), "fit");
    expect_refused(bench, more, code, "powderplan: " + line);
  };
  const auto with = [](std::vector<std::string> more) {
    more.insert(more.begin(), {"--spectra", "s.csv", "--palette", "shelf.toml"});
    return more;
  };
  refused({"--spectra", "s.csv", "--powder", "heron-grey"},
          "--palette: is missing; name the file of your shelf");
  refused({"--palette", "shelf.toml"},
          "fit: nothing was measured; give a PHOTO of a tile, or --spectra, or --swatch once for each");
  refused(
      with({"tile.png"}),
      "fit: more than one kind of readings is given; give a PHOTO of a tile, or --spectra, or --swatch once "
      "for each");
  refused(with({}), "--powder: is missing; say of which powder these readings are");
  refused(with({"--powder", "heron-grey,sedge-green"}),
          "--powder: 2 powders are named; name the one that these readings are of");
  refused(
      with({"--powder", "heron-gray"}),
      "--powder: there is no powder \"heron-gray\" in shelf.toml; did you mean heron-grey? to add it, say "
      "--body transparent or opalescent, and --grain in mm");
  refused(with({"--powder", "plover", "--body", "milky", "--grain", "0.1"}),
          "--body: \"milky\" is none of its values; choose transparent or opalescent");
  refused(with({"--powder", "plover", "--body", "opalescent", "--grain", "100"}),
          "--grain: 100 is out of range; it must be 0.005 to 2 mm");
  refused(with({"--powder", "heron-grey", "--body", "opalescent"}),
          "--body: heron-grey is in shelf.toml already, with its own; leave it out, or change it there");
  refused(with({"--powder", "heron-grey", "--tile", "t"}),
          "--tile: belongs to a photo of a tile; leave it out");
  refused(with({"--powder", "heron-grey", "--gloss", "matt"}),
          "--gloss: \"matt\" is none of its values; choose included or left-out");
  refused(with({"--powder", "heron-grey", "--replace"}),
          "--replace: there is no chart to replace; leave it out; --update keeps the old palette by itself");
  refused(with({"--powder", "heron-grey", "--chart", "s.csv"}),
          "s.csv: does not end in .png; choose another name");
  refused({"tile.png", "--palette", "shelf.toml"},
          "--tile: is missing; name the folder of the tile, or its tile.json");
  refused({"--spectra", "bare.csv", "--palette", "shelf.toml", "--powder", "heron-grey"},
          "bare.csv:2: the spectra reach from 400 to 400 nm; they must reach from 400 to 700 nm", 3);
  refused(
      {"--swatch", "0.1,white,#c8c2ba", "--palette", "shelf.toml", "--powder", "heron-grey"},
      "--swatch: 1 of at least 3 colours; give more loads or grounds; two colours of one load go into the "
      "palette as over_white and over_black, without a fit");
  // Lighter over black with every load less: no powder is like that.
  refused(
      {"--swatch", "0.1,black,#c0c0c0", "--swatch", "0.2,black,#101010", "--swatch", "0.4,black,#b0b0b0",
       "--palette", "shelf.toml", "--powder", "heron-grey"},
      "--swatch: the steps go back and forth: 0.400 g/cm2 on the black ground is lighter than 0.200 g/cm2 "
      "there; check that the cells are in their order, that the tile is not turned round, and that no glare "
      "lies on them; if two cells were sifted in each other's place, give their real grams");
}

}  // namespace
}  // namespace powderplan::testing
