#include "measure/tile_file.h"

#include <gtest/gtest.h>

#include "measure/shelf_for_tiles.h"
#include "problem.h"
#include "property.h"

namespace powderplan {
namespace {

bool same(const BoxMm& a, const BoxMm& b) {
  return a.left == b.left && a.top == b.top && a.right == b.right && a.bottom == b.bottom;
}

bool same(const Tile& a, const Tile& b) {
  if (a.card.marks != b.card.marks || a.card.white.size() != b.card.white.size() ||
      a.card.reference.has_value() != b.card.reference.has_value() || a.card_width != b.card_width ||
      a.card_height != b.card_height || a.light_sheet != b.light_sheet || a.dark_sheet != b.dark_sheet ||
      a.finish != b.finish || a.scale != b.scale || a.rows.size() != b.rows.size())
    return false;
  for (std::size_t i = 0; i < a.card.white.size(); ++i)
    if (!same(a.card.white[i], b.card.white[i]))
      return false;
  if (a.card.reference && !same(*a.card.reference, *b.card.reference))
    return false;
  for (std::size_t r = 0; r < a.rows.size(); ++r) {
    const TileRow &one = a.rows[r], &other = b.rows[r];
    if (one.powder != other.powder || one.name != other.name || one.cells.size() != other.cells.size())
      return false;
    for (std::size_t c = 0; c < one.cells.size(); ++c) {
      const TileCell &x = one.cells[c], &y = other.cells[c];
      if (x.load != y.load || x.grams != y.grams || !same(x.light, y.light) || !same(x.dark, y.dark))
        return false;
    }
  }
  return true;
}

TEST(TileFile, RoundTripsExactly) {
  holds_always(
      [] {
        const std::vector<Powder>& powders = marsh_shelf().powders;
        TileRules rules;
        rules.cells = static_cast<std::size_t>(any_whole(3, 10));
        rules.scale = Grams(any_decade_between(0.0001, 0.003));
        rules.finish = any_whole(0, 1) == 0 ? Finish::full : Finish::tack;
        if (any_whole(0, 1) == 0)
          rules.page = {215.9, 279.4};
        const auto first = static_cast<std::size_t>(any_whole(0, static_cast<int>(powders.size()) - 2));
        Tile tile = marsh_tile({powders[first].id, powders[first + 1].id}, rules).tile;
        tile.rows[0].name = *rc::gen::element<std::string>("plain", "\"q\\\" \n\t\u00e9 \u6c99", "a,b;c");
        if (any_whole(0, 3) == 0)
          tile.card.reference.reset();
        const std::string text = tile_json(tile);
        RC_ASSERT(same(parse_tile(text, "tile.json"), tile));
        RC_ASSERT(tile_json(parse_tile(text, "tile.json")) == text);
      },
      30);
}

std::string good() {
  return tile_json(marsh_tile({"saltpan-white", "marl-ochre"}).tile);
}

std::string with(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  EXPECT_NE(at, std::string::npos) << from;
  return at == std::string::npos ? text : text.replace(at, from.size(), to);
}

void expect_refused(const std::string& text, const std::string& line) {
  try {
    (void)parse_tile(text, "tile.json");
    ADD_FAILURE() << "not refused: " << line;
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    EXPECT_STREQ(problem.what(), line.c_str());
  }
}

TEST(TileFile, SaysWhereAndWhatIsWrong) {
  expect_refused("{\n \"schema\": 1,\n oops\n}",
                 "tile.json:3: not valid JSON; mend it, or make the tile again");
  expect_refused("", "tile.json: is empty; make the tile again");
  expect_refused("[]", "tile.json: is not the file of a step tile; check that you have named the right file");
  expect_refused(
      "{}",
      "tile.json: is not the file of a step tile: it has no 'schema'; check that you have named the "
      "right file");
  expect_refused("{\"schema\": 1e999}",
                 "tile.json: holds a number that is too large; mend it, or make the tile again");
  expect_refused(with(good(), "\"schema\": 1", "\"schema\": 7"),
                 "tile.json: has schema 7, and this program reads 1; use a newer powderplan");
  expect_refused(with(good(), "\"finish\": \"full\"", "\"finish\": \"unfired\""),
                 "tile.json: 'finish' is \"unfired\"; it must be tack, contour or full");
  expect_refused(with(good(), "\"scale_g\"", "\"scale\""),
                 "tile.json: 'scale_g' is missing; add it, or make the file anew");
  expect_refused(with(good(), "\"grams\": 0.0", "\"grams\": -1"),
                 "tile.json: row 1, cell 1: 'grams' is -1; it must be 0 to 1000 g");
  expect_refused(with(good(), "\"grams\": 0.0", "\"grams\": \"0\""),
                 "tile.json: row 1, cell 1: 'grams' must be a number; write it without quotes");
  expect_refused(with(good(), "\"load_g_cm2\": 0.0", "\"load_g_cm2\": 0.1"),
                 "tile.json: row 1, cell 1: 'load_g_cm2' is 0.1; the first cell of a row is bare: 0");
  expect_refused(with(good(), "\"powder\": \"marl-ochre\"", "\"powder\": \"saltpan-white\""),
                 "tile.json: row 2: the powder \"saltpan-white\" has a row already; make the file anew");
  expect_refused(with(good(), "\"powder\": \"marl-ochre\"", "\"powder\": \"x\", \"powder\": \"y\""),
                 "tile.json: the key 'powder' is there twice; take one of them out");
  expect_refused(with(good(), "\"width_mm\": 210.0", "\"width_mm\": 100.0"),
                 "tile.json: 'card': 'marks_mm' are not in the corners of the card; their order is top left, "
                 "top right, bottom right, bottom left");
  expect_refused(with(good(), "\"dark_sheet\": \"black\"", "\"dark_sheet\": \"white\""),
                 "tile.json: 'light_sheet' and 'dark_sheet' are the same; make the file anew");
}

TEST(TileFile, NoDamageGoesUnnoticedOrCrashes) {
  const std::string text = good();
  holds_always(
      [&] {
        const auto at = static_cast<std::size_t>(any_whole(0, static_cast<int>(text.size()) - 1));
        try {
          (void)parse_tile(text.substr(0, at), "tile.json");
          RC_FAIL("half a file was taken for a whole one");
        } catch (const Problem& problem) {
          RC_ASSERT(problem.kind() == ProblemKind::input);
        }
      },
      100);
}

}  // namespace
}  // namespace powderplan
