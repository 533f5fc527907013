#include "app/palette_command.h"

#include <gtest/gtest.h>

#include "app/workbench.h"
#include "shelf.h"

namespace powderplan {
namespace {

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

TEST(PaletteTable, SaysNothingOfReactionsAndExpansionWhereThereAreNone) {
  const std::string text = palette_table(small_shelf());
  EXPECT_FALSE(has(text, "darken"));
  EXPECT_FALSE(has(text, "shrink"));
}

TEST(PaletteTable, ListsEveryPairThatReactsOnce) {
  Palette shelf = small_shelf();
  shelf.powders[red].carries = {"sulphur"};
  shelf.powders[white].reacts_with = {"sulphur"};
  shelf.powders[blue].reacts_with = {"sulphur"};
  shelf.sheets[0].reacts_with = {"sulphur"};
  EXPECT_TRUE(has(palette_table(shelf),
                  "\nThese darken where they touch in the kiln; fire a test before you rely on them:\n"
                  "  white with red (sulphur)\n"
                  "  red with blue (sulphur), the sheet clear (sulphur)\n"))
      << palette_table(shelf);
}

TEST(PaletteTable, ListsEveryStatedExpansionWithItsWorstPartner) {
  Palette shelf = small_shelf();  // 9.0e-6 per K, strain point 480 C
  shelf.powders[red].expansion_per_k = 9.3e-6;
  shelf.sheets[0].expansion_per_k = 8.9e-6;
  shelf.powders[black].expansion_per_k = 9.0e-6;
  EXPECT_TRUE(
      has(palette_table(shelf),
          "\nThese shrink differently on cooling (at most; above 300 ppm glass is likely to fracture, "
          "ASTM F144):\n"
          "  black: 138 ppm, 12 MPa against red; fire a test first\n"
          "  red: 184 ppm, 16 MPa against clear; fire a test first\n"
          "  clear: 184 ppm, 16 MPa against red; fire a test first\n"))
      << palette_table(shelf);
}

TEST(PaletteFiles, SeveralAreOneShelf) {
  const testing::Workbench bench;
  bench.write(
      "more.toml",
      "palette = {family = \"family-a\"}\n[[powder]]\nid = \"tin\"\nbody = \"opalescent\"\nover_white = "
      "\"#eeeeee\"\nover_black = \"#dddddd\"\n[[sheet]]\nid = \"w\"\nbody = \"opalescent\"\nover_white = "
      "\"#eeeeee\"\nover_black = \"#dddddd\"\n[glass]\n" +
          [&] {
            const std::string shelf = testing::text_of_file(bench.bench() / "shelf.toml");
            const std::size_t at = shelf.find("[glass]\n");
            return at == std::string::npos ? std::string() : shelf.substr(at + 8);
          }());
  const testing::Ended ended = bench.run({"palette", "shelf.toml", "more.toml"});
  EXPECT_EQ(ended.err, "");
  EXPECT_NE(ended.out.find("9 powders"), std::string::npos) << ended.out;
}

}  // namespace
}  // namespace powderplan
