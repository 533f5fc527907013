// Every complaint about a palette, word for word, with the line it names.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include "glass/good_palette.h"
#include "glass/palette.h"
#include "problem.h"

namespace powderplan {
namespace {

std::string complaint(const std::string& text) {
  try {
    parse_palette(text, "shelf.toml");
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    return problem.what();
  }
  return "none";
}

struct Case {
  const char *from, *to, *complaint;
};

void expect_all(std::initializer_list<Case> cases) {
  for (const Case& c : cases)
    EXPECT_EQ(complaint(changed(c.from, c.to)), c.complaint);
}

TEST(PaletteComplaint, AboutAMissingKey) {
  expect_all({
      {"over_white = \"#3c8c50\"\n", "",
       "shelf.toml:13: [[powder]] samphire: 'over_white' is missing; add it as \"#rrggbb\""},
      {"over_black = \"#020202\"\n", "",
       "shelf.toml:34: [[sheet]] clear: 'over_black' is missing; add it as \"#rrggbb\""},
      {"id = \"samphire\"\n", "", "shelf.toml:13: [[powder]] number 1: 'id' is missing; add it"},
      {"id = \"inkwell\"\n", "", "shelf.toml:28: [[powder]] number 2: 'id' is missing; add it"},
      {"id = \"clear\"\n", "", "shelf.toml:34: [[sheet]] number 1: 'id' is missing; add it"},
      {"\"samphire\"", "\"\"", "shelf.toml:14: [[powder]] number 1: 'id' is empty; fill it in"},
      {"body = \"opalescent\"\n", "", "shelf.toml:13: [[powder]] samphire: 'body' is missing; add it"},
  });
}

TEST(PaletteComplaint, AboutAWrongType) {
  expect_all({
      {"load = 0.5", "load = \"0.5\"",
       "shelf.toml:19: [[powder]] samphire: 'load' must be a number; write it without quotes"},
      {"load = 0.5", "load = true",
       "shelf.toml:19: [[powder]] samphire: 'load' must be a number; write it without quotes"},
      {"\"Studio shelf\"", "7", "shelf.toml:2: [palette]: 'name' must be a text; put it in quotes"},
      {"\"#3c8c50\"", "5",
       "shelf.toml:17: [[powder]] samphire: 'over_white' must be a text; put it in quotes"},
      {"true", "\"yes\"",
       "shelf.toml:25: [[powder]] samphire: 'strikes' must be true or false; write it without quotes"},
      {"[\"copper\"]", "\"copper\"",
       "shelf.toml:23: [[powder]] samphire: 'carries' must be a list of texts; write it as [\"a\", \"b\"]"},
      {"[\"copper\"]", "[\"copper\", 1]",
       "shelf.toml:23: [[powder]] samphire: 'carries' must be a list of texts; write it as [\"a\", \"b\"]"},
      {"[palette]", "[[palette]]", "shelf.toml:1: 'palette' must be a table; start it with a line [palette]"},
  });
  EXPECT_EQ(complaint("glass = 3"), "shelf.toml:1: 'glass' must be a table; start it with a line [glass]");
  EXPECT_EQ(complaint("\npowder = 3"),
            "shelf.toml:2: 'powder' must be a list of tables; start each with a line [[powder]]");
  EXPECT_EQ(complaint("[powder]\nid = \"a\""),
            "shelf.toml:1: 'powder' must be a list of tables; start each with a line [[powder]]");
}

TEST(PaletteComplaint, AboutANumberThatIsNone) {
  expect_all({
      {"load = 0.5", "load = nan",
       "shelf.toml:19: [[powder]] samphire: 'load' is nan; it must be 0.001 to 5"},
      {"load = 0.5", "load = inf",
       "shelf.toml:19: [[powder]] samphire: 'load' is inf; it must be 0.001 to 5"},
      {"load = 0.5", "load = -inf",
       "shelf.toml:19: [[powder]] samphire: 'load' is -inf; it must be 0.001 to 5"},
  });
}

TEST(PaletteComplaint, AboutANumberOutOfRange) {
  expect_all({
      {"load = 0.5", "load = 0", "shelf.toml:19: [[powder]] samphire: 'load' is 0; it must be 0.001 to 5"},
      {"grain_mm = 0.08", "grain_mm = 80",
       "shelf.toml:20: [[powder]] samphire: 'grain_mm' is 80; it must be 0.005 to 2"},
      {"stock_g = 120", "stock_g = -1",
       "shelf.toml:21: [[powder]] samphire: 'stock_g' is -1; it must be 0 to 1000000"},
      {"= 9.5", "= -0.5",
       "shelf.toml:22: [[powder]] samphire: 'price_per_100g' is -0.5; it must be 0 to 1000000"},
      {"thickness_mm = 4", "thickness_mm = 0",
       "shelf.toml:38: [[sheet]] clear: 'thickness_mm' is 0; it must be 0.1 to 50"},
      {"2.52", "25.2", "shelf.toml:11: [glass]: 'density_g_cm3' is 25.2; it must be 1.5 to 8"},
      {"9.1e-6", "91", "shelf.toml:10: [glass]: 'expansion_per_k' is 91; it must be 1e-07 to 2e-05"},
      {"481", "0", "shelf.toml:7: [glass]: 'strain_c' is 0; it must be 200 to 1500"},
  });
}

TEST(PaletteComplaint, AboutGlassPointsOutOfOrder) {
  const std::string remedy =
      "; strain_c < annealing_c < softening_c must hold; take them from the glass maker's data";
  const auto line = [&](int number, const std::string& wrong) {
    return fmt::format("shelf.toml:{}: [glass]: {}{}", number, wrong, remedy);
  };
  const std::string strain =
      line(8, "the annealing point, 516 \u00b0C, is not above the strain point, 600 \u00b0C");
  const std::string soft =
      line(9, "the softening point, 516 \u00b0C, is not above the annealing point, 516 \u00b0C");
  expect_all({{"481", "600", strain.c_str()}, {"677", "516", soft.c_str()}});
  // The ones left out count too.
  EXPECT_EQ(complaint(changed("annealing_c = 516\nsoftening_c = 677\n", "softening_c = 500\n")),
            line(8, "the softening point, 500 \u00b0C, is not above the annealing point, 515 \u00b0C"));
}

TEST(PaletteComplaint, AboutAnUnknownKey) {
  expect_all({
      {"load = 0.5", "lode = 0.5",
       "shelf.toml:19: [[powder]] samphire: unknown key 'lode'; did you mean 'load'?"},
      {"over_black = \"#36784a\"", "overblack = \"#36784a\"",
       "shelf.toml:18: [[powder]] samphire: unknown key 'overblack'; did you mean 'over_black'?"},
      {"load = 0.5", "sparkle = 0.5",
       "shelf.toml:19: [[powder]] samphire: unknown key 'sparkle'; remove it; known keys are id, name, body, "
       "over_white, "
       "over_black, load, grain_mm, stock_g, price_per_100g, carries, reacts_with, strikes, unfired, k, s, "
       "residual, "
       "expected_error, spreads, load_curve, family, expansion_per_k"},
      {"load = 0.5", "q = 0.5",
       "shelf.toml:19: [[powder]] samphire: unknown key 'q'; remove it; known keys are id, name, body, "
       "over_white, "
       "over_black, load, grain_mm, stock_g, price_per_100g, carries, reacts_with, strikes, unfired, k, s, "
       "residual, "
       "expected_error, spreads, load_curve, family, expansion_per_k"},
      {"[glass]", "[glas]", "shelf.toml:6: palette file: [glas] is no table of it; did you mean [glass]?"},
      {"note =", "notes =", "shelf.toml:3: [palette]: unknown key 'notes'; did you mean 'note'?"},
      {"strain_c", "strain", "shelf.toml:7: [glass]: unknown key 'strain'; did you mean 'strain_c'?"},
      {"thickness_mm", "thicknes_mm",
       "shelf.toml:38: [[sheet]] clear: unknown key 'thicknes_mm'; did you mean 'thickness_mm'?"},
      {"thickness_mm = 4", "grain_mm = 0.1",
       "shelf.toml:38: [[sheet]] clear: unknown key 'grain_mm'; remove it; known keys are id, name, body, "
       "thickness_mm, "
       "over_white, over_black, k, s, family, carries, reacts_with, expansion_per_k"},
  });
}

TEST(PaletteComplaint, AboutADuplicateId) {
  expect_all({{"\"inkwell\"", "\"samphire\"",
               "shelf.toml:29: [[powder]] number 2: id \"samphire\" is used twice; give each its own id"}});
  EXPECT_EQ(complaint(good_palette + good_palette.substr(good_palette.find("[[sheet]]"))),
            "shelf.toml:42: [[sheet]] number 2: id \"clear\" is used twice; give each its own id");
}

TEST(PaletteComplaint, AboutNoPowdersOrNoSheets) {
  EXPECT_EQ(complaint(""), "shelf.toml: the palette has no powders; add at least one [[powder]]");
  const std::size_t powders = good_palette.find("[[powder]]"), sheets = good_palette.find("[[sheet]]");
  EXPECT_EQ(complaint(good_palette.substr(0, powders) + good_palette.substr(sheets)),
            "shelf.toml: the palette has no powders; add at least one [[powder]]");
  EXPECT_EQ(complaint(good_palette.substr(0, sheets)),
            "shelf.toml: the palette has no sheets; add at least one [[sheet]] to lay powder on");
}

TEST(PaletteComplaint, AboutABadColour) {
  expect_all({
      {"#3c8c50", "green",
       "shelf.toml:17: [[powder]] samphire: 'over_white' is \"green\", not a colour; write it as "
       "\"#rrggbb\", e.g. "
       "\"#c8a040\""},
      {"#36784a", "#36784",
       "shelf.toml:18: [[powder]] samphire: 'over_black' is \"#36784\", not a colour; write it as "
       "\"#rrggbb\", e.g. "
       "\"#c8a040\""},
      {"#c0d8c4", "c0d8c4",
       "shelf.toml:26: [[powder]] samphire: 'unfired' is \"c0d8c4\", not a colour; write it as \"#rrggbb\", "
       "e.g. "
       "\"#c8a040\""},
  });
}

TEST(PaletteComplaint, AboutSwatchesThatNoGlassHas) {
  expect_all({
      {"over_white = \"#1a2a6e\"\nover_black = \"#050814\"",
       "over_white = \"#050814\"\nover_black = \"#1a2a6e\"",
       "shelf.toml:32: [[powder]] inkwell: no glass looks #050814 over white and #1a2a6e over black; over "
       "black it cannot "
       "be lighter than over white; check that the two are not swapped"},
      {"over_white = \"#f0f2f0\"\nover_black = \"#020202\"",
       "over_white = \"#020202\"\nover_black = \"#f0f2f0\"",
       "shelf.toml:40: [[sheet]] clear: no glass looks #020202 over white and #f0f2f0 over black; over black "
       "it cannot be "
       "lighter than over white; check that the two are not swapped"},
  });
}

TEST(PaletteComplaint, AboutABody) {
  expect_all({
      {"\"opalescent\"", "\"milky\"",
       "shelf.toml:16: [[powder]] samphire: body is \"milky\"; it must be \"transparent\" or \"opalescent\""},
      {"\"opalescent\"", "\"Opalescent\"",
       "shelf.toml:16: [[powder]] samphire: body is \"Opalescent\"; it must be \"transparent\" or "
       "\"opalescent\""},
  });
}

TEST(PaletteComplaint, AboutAnIdThatCouldLeaveTheFolder) {
  for (const std::string id : {"../x", "/etc/x", "a/b", "a\\\\b", "..", "C:x", "a b", "été", "a.b", "~"}) {
    const std::string text = complaint(changed("\"samphire\"", "\"" + id + "\""));
    EXPECT_EQ(text.rfind("shelf.toml:14: [[powder]] number 1: id \"", 0), 0u) << text;
    EXPECT_NE(text.find("\" cannot be used in file names; use at most 48 letters, digits, '-' and '_'"),
              std::string::npos)
        << text;
  }
  EXPECT_EQ(complaint(changed("\"clear\"", "\"../x\"")),
            "shelf.toml:35: [[sheet]] number 1: id \"../x\" cannot be used in file names; use at most 48 "
            "letters, digits, "
            "'-' and '_'");
  EXPECT_EQ(complaint(changed("\"samphire\"", "\"" + std::string(48, 'a') + "\"")), "none");
  EXPECT_NE(complaint(changed("\"samphire\"", "\"" + std::string(49, 'a') + "\"")), "none");
  EXPECT_EQ(complaint(changed("\"samphire\"", "\"Aa-9_\"")), "none");
}

TEST(PaletteComplaint, AboutAMixedFamily) {
  expect_all({
      {"strikes = true", "family = \"B\"",
       "shelf.toml:25: [[powder]] samphire: expansion family \"B\" on a shelf of family \"A\"; glasses of "
       "different "
       "expansion crack each other; keep them in separate palettes"},
      {"thickness_mm = 4", "family = \"\"",
       "shelf.toml:38: [[sheet]] clear: expansion family \"\" on a shelf of family \"A\"; glasses of "
       "different expansion "
       "crack each other; keep them in separate palettes"},
      {"strikes = true", "family = \"A\"", "none"},
  });
  const std::string of_none = changed("family = \"A\"\n", "");
  EXPECT_EQ(complaint(changed("thickness_mm = 4", "family = \"B\"", of_none)),
            "shelf.toml:37: [[sheet]] clear: expansion family \"B\" on a shelf that states none; if all its "
            "glasses are of that family, write family = \"B\" under [palette]; else keep them in separate "
            "palettes, because they crack each other");
}

TEST(PaletteComplaint, AboutBadToml) {
  EXPECT_EQ(complaint(changed("strikes = true", "strikes =")),
            "shelf.toml:25: 'strikes' has no value; write it behind the =, or take the line out");
  EXPECT_EQ(complaint(changed("[glass]", "[glass")),
            "shelf.toml:6: \"[glass\" is no whole heading; write [name] or [[name]], alone on its line");
  EXPECT_EQ(complaint(changed("strikes = true", "load = 2")),
            "shelf.toml:25: the key 'load' is there twice; take one of them out");
  EXPECT_EQ(complaint("\xff"), "shelf.toml:1: is no text in UTF-8; save it as UTF-8 text");
}

TEST(PaletteComplaint, AboutMeasurements) {
  const std::string k = "k = " + list_of(31), s = "s = " + list_of(31);
  const auto with = [](const std::string& lines) { return complaint(changed("strikes = true", lines)); };
  const std::string powder = "shelf.toml:25: [[powder]] samphire: ";
  EXPECT_EQ(with(k), powder + "a measured powder needs both 'k' and 's'; add the one that is missing");
  EXPECT_EQ(with(s), powder + "a measured powder needs both 'k' and 's'; add the one that is missing");
  EXPECT_EQ(
      complaint(changed("thickness_mm = 4", k)),
      "shelf.toml:38: [[sheet]] clear: a measured sheet needs both 'k' and 's'; add the one that is missing");
  const std::string wants_31 = "'k' must be a list of 31 numbers; one for each 10 nm from 400 to 700";
  EXPECT_EQ(with("k = " + list_of(30) + "\n" + s), powder + wants_31);
  EXPECT_EQ(with("k = " + list_of(32) + "\n" + s), powder + wants_31);
  EXPECT_EQ(with("k = []\n" + s), powder + wants_31);
  EXPECT_EQ(with("k = 1.5\n" + s), powder + wants_31);
  EXPECT_EQ(with("k = " + list_of(31, "nan") + "\n" + s),
            powder + "number 31 of 'k' is nan; it must be 0 to 100000");
  EXPECT_EQ(with("k = " + list_of(31, "-1") + "\n" + s),
            powder + "number 31 of 'k' is -1; it must be 0 to 100000");
  EXPECT_EQ(with("k = " + list_of(31, "\"1\"") + "\n" + s),
            powder + "number 31 of 'k' must be a number; write it without quotes");
  // In a list over several lines, the line of the number itself.
  EXPECT_EQ(with("k = " + list_of(31, "\n\n-1") + "\n" + s),
            "shelf.toml:27: [[powder]] samphire: number 31 of 'k' is -1; it must be 0 to 100000");
  EXPECT_EQ(with(k + "\n" + s + "\nresidual = 200"),
            "shelf.toml:27: [[powder]] samphire: 'residual' is 200; it must be 0 to 100");
  EXPECT_EQ(with(k + "\n" + s), "none");
}

TEST(PaletteComplaint, AboutAMeasurementsSpreadingCurveAndError) {
  const std::string measured = "k = " + list_of(31) + "\ns = " + list_of(31) + "\n";
  const auto with = [&](const std::string& keys) {
    return complaint(changed("strikes = true", measured + keys));
  };
  const std::string powder = "shelf.toml:27: [[powder]] samphire: ";
  EXPECT_EQ(with("spreads = 0"), powder + "'spreads' is 0; it must be 0.1 to 10");
  EXPECT_EQ(with("spreads = \"1\""), powder + "'spreads' must be a number; write it without quotes");
  EXPECT_EQ(with("expected_error = -1"), powder + "'expected_error' is -1; it must be 0 to 100");
  const std::string no_pairs =
      "'load_curve' must be a list of pairs of numbers; write it as [[0.1, 0.2], [0.3, 0.4]]";
  EXPECT_EQ(with("load_curve = 0.1"), powder + no_pairs);
  EXPECT_EQ(with("load_curve = [0.1, 0.2]"), powder + no_pairs);
  EXPECT_EQ(with("load_curve = [[0.1, 0.2], [0.3]]"), powder + no_pairs);
  EXPECT_EQ(with("load_curve = [[0.1, 0.2], [0.3, true]]"),
            powder + "pair 2 of 'load_curve' must be a number; write it without quotes");
  EXPECT_EQ(with("load_curve = [[0.1, 0.2], [0.3, 200]]"),
            powder + "pair 2 of 'load_curve' is 200; it must be 1e-06 to 100");
  const std::string no_rise = "; write its pairs from the lightest load to the heaviest";
  EXPECT_EQ(with("load_curve = [[0.1, 0.2], [0.1, 0.3]]"),
            powder + "'load_curve' does not rise at [0.1, 0.3]" + no_rise);
  EXPECT_EQ(with("load_curve = [[0.1, 0.2], [0.2, 0.2]]"),
            powder + "'load_curve' does not rise at [0.2, 0.2]" + no_rise);
  EXPECT_EQ(with("spreads = 1.2\nload_curve = [[0.1, 0.2], [0.2, 0.3]]\nexpected_error = 0.5"), "none");
}

TEST(PaletteComplaint, AboutWhatBelongsToAMeasurementWhereThereIsNone) {
  for (const std::string key : {"residual = 1", "expected_error = 1", "spreads = 1", "load_curve = []"})
    EXPECT_EQ(
        complaint(changed("strikes = true", key)),
        fmt::format("shelf.toml:25: [[powder]] samphire: '{}' belongs to a measurement, and there is none; "
                    "remove it, or give 'k' and 's' too",
                    key.substr(0, key.find(' '))));
}

}  // namespace
}  // namespace powderplan
