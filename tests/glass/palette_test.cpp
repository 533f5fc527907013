#include "glass/palette.h"

#include "glass/good_palette.h"
#include "optics/swatch.h"
#include "problem.h"
#include "property.h"

namespace powderplan {
namespace {

Palette read(const std::string& text) {
  return parse_palette(text, "shelf.toml");
}

TEST(Palette, ReadsEveryKey) {
  const Palette shelf = read(good_palette);
  EXPECT_EQ(shelf.name, "Studio shelf");
  EXPECT_EQ(shelf.note, "north wall");
  EXPECT_EQ(shelf.family, "A");
  EXPECT_EQ(shelf.glass.strain, Celsius(481));
  EXPECT_EQ(shelf.glass.annealing, Celsius(516));
  EXPECT_EQ(shelf.glass.softening, Celsius(677));
  EXPECT_EQ(shelf.glass.expansion_per_k, 9.1e-6);
  EXPECT_EQ(shelf.glass.density, Density(2.52));

  ASSERT_EQ(shelf.powders.size(), 2u);
  const Powder& green = shelf.powders[0];
  EXPECT_EQ(green.id, "samphire");
  EXPECT_EQ(green.name, "Samphire green");
  EXPECT_EQ(green.family, "A");
  EXPECT_EQ(green.body, Body::opalescent);
  EXPECT_EQ(green.over_white, (Rgb8{0x3c, 0x8c, 0x50}));
  EXPECT_EQ(green.over_black, (Rgb8{0x36, 0x78, 0x4a}));
  EXPECT_EQ(green.swatch_load, Load(0.5));
  EXPECT_EQ(green.optics.grain, Millimetres(0.08));
  EXPECT_EQ(green.stock, Grams(120));
  EXPECT_EQ(green.price_per_100g, 9.5);
  EXPECT_EQ(green.carries, std::vector<std::string>{"copper"});
  EXPECT_EQ(green.reacts_with, (std::vector<std::string>{"sulphur", "lead"}));
  EXPECT_TRUE(green.strikes);
  EXPECT_EQ(green.unfired, (Rgb8{0xc0, 0xd8, 0xc4}));
  EXPECT_FALSE(green.measured);
  EXPECT_EQ(green.expected_de00, unmeasured_de00);
  const SwatchFit fit = fit_swatch(green.over_white, green.over_black, Load(0.5));
  EXPECT_EQ(green.optics.k, fit.k);
  EXPECT_EQ(green.optics.s, fit.s);

  ASSERT_EQ(shelf.sheets.size(), 1u);
  const Sheet& clear = shelf.sheets[0];
  EXPECT_EQ(clear.id, "clear");
  EXPECT_EQ(clear.name, "Clear, 4 mm");
  EXPECT_EQ(clear.body, Body::transparent);
  EXPECT_EQ(clear.thickness, Millimetres(4));
  EXPECT_EQ(clear.over_white, (Rgb8{0xf0, 0xf2, 0xf0}));
}

TEST(Palette, FillsInWhatIsLeftOut) {
  const Palette shelf = read(R"(
[[powder]]
id = "a"
body = "transparent"
over_white = "#1a2a6e"
over_black = "#050814"
[[sheet]]
id = "b"
body = "opalescent"
over_white = "#f0f0f0"
over_black = "#d8d8d8"
)");
  EXPECT_EQ(shelf.name, "");
  EXPECT_EQ(shelf.family, "");
  const Powder& powder = shelf.powders[0];
  EXPECT_EQ(powder.name, "a");
  EXPECT_EQ(powder.swatch_load, full_load);
  EXPECT_EQ(powder.optics.grain, Millimetres(0.1));
  EXPECT_FALSE(powder.stock || powder.price_per_100g || powder.unfired);
  EXPECT_TRUE(powder.carries.empty() && powder.reacts_with.empty());
  EXPECT_FALSE(powder.strikes);
  EXPECT_EQ(shelf.sheets[0].thickness, Millimetres(3));
  EXPECT_EQ(shelf.sheets[0].body, Body::opalescent);
  EXPECT_EQ(shelf.glass.density, glass_density);
}

TEST(Palette, TakesMeasuredPowdersAndSheetsAsTheyAre) {
  const std::string numbers = "k = " + list_of(31) + "\ns = " + list_of(31, "2.5") + "\n";
  const std::string swatch = "over_white = \"#1a2a6e\"\nover_black = \"#050814\"\n";
  const Palette shelf = read(changed("over_white = \"#f0f2f0\"\nover_black = \"#020202\"\n", numbers,
                                     changed(swatch, numbers + "residual = 0.6\n")));
  const Powder& powder = shelf.powders[1];
  EXPECT_TRUE(powder.measured);
  EXPECT_EQ(powder.expected_de00, 0.6);
  EXPECT_EQ(powder.optics.k, Spectrum::constant(1.5));
  EXPECT_EQ(powder.optics.s[0], 1.5);
  EXPECT_EQ(powder.optics.s[30], 2.5);
  EXPECT_EQ(shelf.sheets[0].s[30], 2.5);
  // Their swatch colours are predicted: a grey that is lighter over white.
  EXPECT_GT(to_lab(powder.over_white).l, to_lab(powder.over_black).l);
  EXPECT_GT(to_lab(shelf.sheets[0].over_white).l, to_lab(shelf.sheets[0].over_black).l);
}

TEST(Palette, OfAMeasuredPowderKeepsStatedSwatchColours) {
  const Palette shelf = read(changed("strikes = true", "k = " + list_of(31) + "\ns = " + list_of(31)));
  EXPECT_EQ(shelf.powders[0].over_white, (Rgb8{0x3c, 0x8c, 0x50}));
  EXPECT_EQ(shelf.powders[0].expected_de00, unmeasured_de00);
}

TEST(Palette, OfAMeasuredPowderTakesSpreadingCurveAndExpectedError) {
  const std::string numbers = "k = " + list_of(31) + "\ns = " + list_of(31) + "\n";
  const std::string swatch = "over_white = \"#1a2a6e\"\nover_black = \"#050814\"\n";
  const auto with = [&](const std::string& keys) { return read(changed(swatch, numbers + keys)).powders[1]; };
  const Powder plain = with("residual = 0.4\n");
  EXPECT_EQ(plain.optics.spreads, 1);
  EXPECT_TRUE(plain.optics.curve.points().empty());
  EXPECT_EQ(plain.expected_de00, 0.4);
  const Powder powder =
      with("residual = 0.4\nexpected_error = 0.9\nspreads = 1.25\nload_curve = [[0.1, 0.14], [0.75, 0.5]]\n");
  EXPECT_EQ(powder.expected_de00, 0.9);
  EXPECT_EQ(powder.optics.spreads, 1.25);
  EXPECT_EQ(powder.optics.curve, LoadCurve({{Load(0.1), Load(0.14)}, {Load(0.75), Load(0.5)}}));
  // The swatch, at 0.75 g/cm2, is as thin as the curve says.
  EXPECT_GT(to_lab(powder.over_white).l, to_lab(plain.over_white).l + 1);
}

TEST(Palette, FindsPowdersAndSheetsById) {
  const Palette shelf = read(good_palette);
  EXPECT_EQ(shelf.find_powder("inkwell"), &shelf.powders[1]);
  EXPECT_EQ(shelf.find_sheet("clear"), &shelf.sheets[0]);
  EXPECT_EQ(shelf.find_powder("clear"), nullptr);
  EXPECT_EQ(shelf.find_sheet(""), nullptr);
}

TEST(Palette, TakesAnyLineEndingAndAByteOrderMark) {
  std::string windows;
  for (const char c : good_palette)
    windows += c == '\n' ? std::string("\r\n") : std::string(1, c);
  EXPECT_EQ(read(windows).powders.size(), 2u);
  EXPECT_EQ(read("\xef\xbb\xbf" + good_palette).powders.size(), 2u);
}

TEST(Palette, NamesItsBodies) {
  EXPECT_EQ(name_of(Body::transparent), "transparent");
  EXPECT_EQ(name_of(Body::opalescent), "opalescent");
}

// Whatever a file holds, reading it gives a palette or a message that names the file; nothing else.
bool gives_palette_or_problem(const std::string& text) {
  try {
    const Palette shelf = read(text);
    return !shelf.powders.empty() && !shelf.sheets.empty();
  } catch (const Problem& problem) {
    return problem.kind() == ProblemKind::input && problem.place().rfind("shelf.toml", 0) == 0 &&
           !problem.wrong().empty() && !problem.remedy().empty();
  }
}

char any_byte() {
  return static_cast<char>(*rc::gen::inRange(0, 256));
}

TEST(PaletteText, OfRandomBytesIsRefusedPolitely) {
  holds_always([] {
    std::string text;
    for (int n = *rc::gen::inRange(0, 200); n > 0; --n)
      text += any_byte();
    RC_ASSERT(gives_palette_or_problem(text));
  });
}

TEST(PaletteText, CutOffAnywhereIsRefusedOrWhole) {
  for (std::size_t length = 0; length <= good_palette.size(); ++length)
    EXPECT_TRUE(gives_palette_or_problem(good_palette.substr(0, length))) << length;
}

TEST(PaletteText, WithBytesChangedIsRefusedOrRead) {
  holds_always(
      [] {
        std::string text = good_palette;
        for (int n = *rc::gen::inRange(1, 5); n > 0; --n) {
          const auto at = static_cast<std::size_t>(*rc::gen::inRange(0, static_cast<int>(text.size())));
          switch (*rc::gen::inRange(0, 3)) {
            case 0:
              text[at] = any_byte();
              break;
            case 1:
              text.insert(at, 1, any_byte());
              break;
            default:
              text.erase(at, 1);
              break;
          }
        }
        RC_ASSERT(gives_palette_or_problem(text));
      },
      500);
}

// Values of every TOML type in every place.
TEST(PaletteText, WithAnyValueForAnyKeyIsRefusedOrRead) {
  const std::vector<std::string> values{"\"\"",
                                        "\"x\"",
                                        "0",
                                        "-1",
                                        "1e308",
                                        "-1e-308",
                                        "nan",
                                        "inf",
                                        "true",
                                        "[]",
                                        "{}",
                                        "[{}]",
                                        "[[]]",
                                        "[nan]",
                                        "1979-05-27",
                                        "07:32:00",
                                        "0xff",
                                        "'''\n'''",
                                        "[\"a\", 1]",
                                        "{a=1}",
                                        "9223372036854775807",
                                        list_of(31, "nan")};
  std::size_t begin = 0;
  for (std::size_t end = good_palette.find('\n'); end != std::string::npos;
       end = good_palette.find('\n', begin)) {
    const std::string line = good_palette.substr(begin, end - begin);
    const std::size_t equals = line.find(" = ");
    if (equals != std::string::npos) {
      for (const std::string& value : values) {
        std::string text = good_palette;
        text.replace(begin, line.size(), line.substr(0, equals + 3) + value);
        EXPECT_TRUE(gives_palette_or_problem(text)) << line << " -> " << value;
      }
    }
    begin = end + 1;
  }
}

TEST(PaletteText, NestedTooDeepIsRefused) {
  EXPECT_TRUE(gives_palette_or_problem("a = " + std::string(100000, '[')));
  EXPECT_TRUE(gives_palette_or_problem("a = " + std::string(5000, '[') + std::string(5000, ']')));
  std::string dotted = "a";
  for (int i = 0; i < 2000; ++i)
    dotted += ".a";
  EXPECT_TRUE(gives_palette_or_problem(dotted + " = 1"));
  EXPECT_TRUE(gives_palette_or_problem("[" + dotted + "]"));
}

TEST(PaletteText, RefusedNeverPrintsControlCharacters) {
  try {
    read(changed("\"samphire\"", "\"\\u001b[2J\\n\""));
    FAIL();
  } catch (const Problem& problem) {
    EXPECT_STREQ(
        problem.what(),
        "shelf.toml:14: [[powder]] number 1: id \" [2J \" cannot be used in file names; use at most 48 "
        "letters, digits, '-' and '_'");
  }
}

TEST(MedianGrain, OfThoseThatAreAskedFor) {
  Palette shelf;
  for (const double grain : {0.3, 0.05, 0.1, 0.2}) {
    shelf.powders.emplace_back();
    shelf.powders.back().optics.grain = Millimetres(grain);
  }
  EXPECT_EQ(median_grain(shelf, {1}), Millimetres(0.05));
  EXPECT_EQ(median_grain(shelf, {0, 1, 2}), Millimetres(0.1));
  EXPECT_EQ(median_grain(shelf, {3, 0, 1}), Millimetres(0.2));
}

}  // namespace
}  // namespace powderplan
