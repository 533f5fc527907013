#include "glass/palette_edit.h"

#include <gtest/gtest.h>

#include <fstream>
#include <iterator>
#include <set>

#include "glass/good_palette.h"
#include "glass/palette.h"
#include "glass/toml_reader.h"
#include "glass/toml_text.h"
#include "places.h"
#include "problem.h"
#include "property.h"

namespace powderplan {
namespace {

std::string edited(const std::string& text, const std::string& id, const std::vector<KeyEdit>& keys) {
  return edit_powders(text, "shelf.toml", {{id, keys}});
}

TEST(PaletteEdit, SetsAValueInItsPlace) {
  EXPECT_EQ(edited(good_palette, "samphire", {{"stock_g", "87.5"}}),
            changed("stock_g = 120", "stock_g = 87.5"));
  const std::string commented = changed("stock_g = 120", "\tstock_g=120   # weighed in May");
  EXPECT_EQ(edited(commented, "samphire", {{"stock_g", "87.5"}}),
            changed("stock_g = 120", "\tstock_g=87.5   # weighed in May"));
}

TEST(PaletteEdit, ANewKeyComesBehindTheLastOfItsPowder) {
  EXPECT_EQ(
      edited(good_palette, "inkwell", {{"stock_g", "40"}, {"grain_mm", "0.1"}}),
      changed("over_black = \"#050814\"\n", "over_black = \"#050814\"\nstock_g = 40\ngrain_mm = 0.1\n"));
}

TEST(PaletteEdit, RemovesAKeyWithItsLine) {
  EXPECT_EQ(edited(good_palette, "samphire", {{"unfired", {}}, {"strikes", {}}}),
            changed("strikes = true\nunfired = \"#c0d8c4\"\n", ""));
  EXPECT_EQ(edited(good_palette, "inkwell", {{"stock_g", {}}}), good_palette) << "it has none";
  const std::string lists =
      changed("carries = [\"copper\"]", "carries = [ # of its colour\n  \"copper\",\n]");
  EXPECT_EQ(edited(lists, "samphire", {{"carries", {}}}), changed("carries = [\"copper\"]\n", ""));
}

TEST(PaletteEdit, KeepsWindowsLineEndsAndAMissingLastOne) {
  std::string windows;
  for (const char c : good_palette)
    windows += c == '\n' ? "\r\n" : std::string(1, c);
  std::string wished = windows;
  const std::string last = "over_black = \"#050814\"\r\n";
  wished.replace(wished.find(last), last.size(), last + "carries = [\r\n  \"tin\",\r\n]\r\n");
  EXPECT_EQ(edited(windows, "inkwell", {{"carries", "[\n  \"tin\",\n]"}}), wished);

  const std::string powder_last =
      "[[sheet]]\nid = \"clear\"\nbody = \"transparent\"\nover_white = \"#f0f2f0\"\nover_black = "
      "\"#020202\"\n"
      "[[powder]]\nid = \"ink\"\nbody = \"transparent\"\nover_white = \"#1a2a6e\"\nover_black = \"#050814\"";
  EXPECT_EQ(edited(powder_last, "ink", {{"stock_g", "5"}, {"load", "0.4"}}),
            powder_last + "\nstock_g = 5\nload = 0.4");
  EXPECT_EQ(edited(powder_last + " # end", "ink", {{"over_black", "'#050815'"}}),
            powder_last.substr(0, powder_last.size() - 9) + "'#050815' # end");
  EXPECT_EQ(edited("\xef\xbb\xbf" + powder_last, "ink", {{"stock_g", "5"}}),
            "\xef\xbb\xbf" + powder_last + "\nstock_g = 5");
}

TEST(PaletteEdit, IsNotMisledByTextThatLooksLikeTables) {
  const std::string tricky =
      changed("name = \"Samphire green\"",
              "name = \"\"\"\n[[powder]]\nid = \"inkwell\"\nstock_g = 1 \\\"\"\" # no\"\"\"\"");
  const std::string more = changed("note = \"north wall\"", "note = '''\nstock_g = 3\n[[powder]]'''", tricky);
  EXPECT_EQ(edited(more, "samphire", {{"stock_g", "7"}}), changed("stock_g = 120", "stock_g = 7", more));
  const std::string after = "over_black = \"#050814\"\n";
  EXPECT_EQ(edited(more, "inkwell", {{"stock_g", "7"}}), changed(after, after + "stock_g = 7\n", more));
}

TEST(PaletteEdit, QuotedKeysAndHeadersAreKeysAndHeaders) {
  const std::string quoted =
      changed("[[powder]]\nid = \"inkwell\"", "[[ \"powder\" ]] # ink\n'id' = \"inkwell\"\n\"stock_g\" = 3");
  EXPECT_EQ(edited(quoted, "inkwell", {{"stock_g", "7"}}),
            changed("\"stock_g\" = 3", "\"stock_g\" = 7", quoted));
}

TEST(PaletteEdit, AddsAPowderBehindTheLast) {
  const std::vector<KeyEdit> keys{{"id", "\"tin\""},
                                  {"body", "\"opalescent\""},
                                  {"over_white", "\"#eeeeee\""},
                                  {"over_black", "\"#cccccc\""}};
  const std::string table =
      "\n[[powder]]\nid = \"tin\"\nbody = \"opalescent\"\nover_white = \"#eeeeee\"\nover_black = "
      "\"#cccccc\"\n";
  const std::string last = "over_black = \"#050814\"\n";
  EXPECT_EQ(add_powder(good_palette, "shelf.toml", keys), changed(last, last + table));
  // A comment that belongs to the powder stays with it; a heading of what follows stays with that.
  EXPECT_EQ(add_powder(changed(last, last + "# from the old jar\n"), "shelf.toml", keys),
            changed(last, last + "# from the old jar\n" + table));
  EXPECT_EQ(add_powder(changed(last + "\n", last + "# Sheets\n"), "shelf.toml", keys),
            changed(last + "\n", last + table + "# Sheets\n"));
  EXPECT_EQ(parse_palette(add_powder(good_palette, "shelf.toml", keys), "shelf.toml").powders.back().id,
            "tin");
}

void expect_refused(const std::string& text, const std::string& id, const std::vector<KeyEdit>& keys,
                    const std::string& line) {
  try {
    (void)edited(text, id, keys);
    ADD_FAILURE() << "not refused: " << line;
  } catch (const Problem& problem) {
    EXPECT_STREQ(problem.what(), line.c_str());
  }
}

TEST(PaletteEdit, RefusesRatherThanDamages) {
  expect_refused(good_palette, "tin", {{"stock_g", "1"}},
                 "shelf.toml: there is no powder \"tin\" in it; check its id");
  expect_refused(
      "powder = [{id = \"a\", body = \"opalescent\", over_white = \"#eeeeee\", over_black = "
      "\"#dddddd\"}]\n[[sheet]]\nid = \"w\"\nbody = \"opalescent\"\nover_white = "
      "\"#eeeeee\"\nover_black = \"#dddddd\"\n",
      "a", {{"stock_g", "1"}},
      "shelf.toml:1: the powders are written as a list in brackets; write each as a table of its "
      "own that begins with a line [[powder]]");
  expect_refused(good_palette, "samphire", {{"stock_g", "-1"}},
                 "shelf.toml:21: [[powder]] samphire: 'stock_g' is -1; it must be 0 to 1000000");
  expect_refused(good_palette, "samphire", {{"body", {}}},
                 "shelf.toml:13: [[powder]] samphire: 'body' is missing; add it");
  expect_refused(good_palette, "samphire", {{"stock_g", "1\nload = 3"}},
                 "stock_g: its new value is more than one value; give one TOML value");
  expect_refused(good_palette, "samphire", {{"stock_g", "1 # hidden"}},
                 "stock_g: its new value is more than one value; give one TOML value");
  expect_refused(
      good_palette, "samphire", {{"id", "\"x\""}},
      "id: is no key that can be changed here; change each key of a powder once, and never its id");
  expect_refused("[[powder]]\nid = 3\n", "samphire", {{"stock_g", "1"}},
                 "shelf.toml:2: [[powder]] number 1: 'id' must be a text; put it in quotes");
  EXPECT_THROW(add_powder(good_palette, "shelf.toml",
                          {{"id", "\"inkwell\""},
                           {"body", "\"opalescent\""},
                           {"over_white", "\"#eeeeee\""},
                           {"over_black", "\"#cccccc\""}}),
               Problem);
}

TEST(PaletteEdit, ValuesReadBackToTheSame) {
  for (const double number : {0.1, 1e-7, 87.25, 1e5, 3.0, 0.1 + 0.2}) {
    const Palette shelf = parse_palette(
        edited(good_palette, "samphire", {{"price_per_100g", toml_value(number)}}), "shelf.toml");
    EXPECT_EQ(shelf.powders[0].price_per_100g, number);
  }
  Spectrum k;
  for (std::size_t i = 0; i < band_count; ++i)
    k[i] = 1.0 / (static_cast<double>(i) + 3);
  const Palette measured = parse_palette(
      edited(good_palette, "samphire", {{"k", toml_value(k)}, {"s", toml_value(k)}}), "shelf.toml");
  EXPECT_EQ(measured.powders[0].optics.k, k);
  const std::string name = "a \"b\" \\ c\n\x01 \u00e9";
  const std::string named = edited(good_palette, "samphire", {{"name", toml_value(name)}});
  EXPECT_EQ(*parse_toml(named, "s")["powder"][0]["name"].value<std::string>(), name);
  // A shelf calls it by one line.
  EXPECT_EQ(parse_palette(named, "s").powders[0].name, "a \"b\" \\ c   \u00e9");
}

TEST(PaletteEdit, TheProjectsOwnShelvesCanBeChanged) {
  for (const std::string name : {"marsh-full.toml", "marsh-starter.toml"}) {
    const std::string file = testing::source_folder() + "/palettes/" + name;
    std::ifstream in(file, std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(in), {}};
    const std::string now = edit_powders(text, file, {{"creek-black", {{"stock_g", "12.5"}}}});
    EXPECT_EQ(parse_palette(now, file).find_powder("creek-black")->stock, Grams(12.5));
    EXPECT_EQ(edit_powders(now, file, {{"creek-black", {{"stock_g", "400"}}}}), text);
  }
}

// A palette as a list of pieces, of which the test knows what each is: what comes out is known to the byte.
struct Piece {
  int powder = -1;  // that it is a key of
  std::string key, before, value, after;
};

std::string whole(const std::vector<Piece>& pieces) {
  std::string text;
  for (const Piece& piece : pieces)
    text += piece.before + piece.value + piece.after;
  return text;
}

std::string any_blank() {
  return *rc::gen::element<std::string>("", " ", "\t", "  ");
}

class AnyPalette {
 public:
  AnyPalette() : line_(*rc::gen::element<std::string>("\n", "\r\n")) {
    loose();
    const int powders = any_whole(1, 4);
    for (int p = 0; p < powders; ++p) {
      powder(p);
      if (p == sheet_after_)
        sheet();
    }
    if (sheet_after_ >= powders)
      sheet();
    if (any_whole(0, 2) == 0)
      while (pieces.back().after.ends_with('\n') || pieces.back().after.ends_with('\r'))
        pieces.back().after.pop_back();
    powder_count = powders;
  }

  std::vector<Piece> pieces;
  int powder_count = 0;

  std::string any_value(const std::string& key) {
    const std::string gap = any_blank();
    if (key == "carries" || key == "reacts_with")
      return *rc::gen::element<std::string>(
          "[]", "[\"tin\"]", "[ 'a#]b' , \"[[powder]]\" ]",
          "[" + line_ + "  \"x\", # ] no \"end" + line_ + gap + "'y'," + line_ + "]");
    if (key == "name")
      return *rc::gen::element<std::string>("\"plain\"", "'lit\"eral'", "\"with \\\" # quote\"",
                                            "\"\"\"two" + line_ + "[[powder]]" + line_ + "id = 'p0'\"\"\"",
                                            "'''" + line_ + "it''s = # [x'''", "\"\"\"q\"\"\"\"\"");
    if (key == "strikes")
      return *rc::gen::element<std::string>("true", "false");
    if (key == "unfired")
      return *rc::gen::element<std::string>("\"#c0d8c4\"", "'#102030'");
    return *rc::gen::element<std::string>("0.25", "1", "0.5", "+0.125", "2.5e-1");
  }

 private:
  std::string tail() {
    return any_blank() +
           *rc::gen::element<std::string>("", "# note", "# stock_g = 9", "# \"quote", "# [[powder]]") + line_;
  }

  void loose() {
    for (int i = any_whole(0, 2); i > 0; --i)
      pieces.push_back({-1, "",
                        any_blank() + *rc::gen::element<std::string>("", "# [[powder]]", "# id = 1") + line_,
                        "", ""});
  }

  void key(int p, const std::string& name, const std::string& value) {
    const std::string quote = *rc::gen::element<std::string>("", "", "\"", "'");
    pieces.push_back(
        {p, name, any_blank() + quote + name + quote + any_blank() + "=" + any_blank(), value, tail()});
  }

  void powder(int p) {
    pieces.push_back({-1, "",
                      *rc::gen::element<std::string>("[[powder]]", "[[ powder ]]", "  [[\"powder\"]]"), "",
                      tail()});
    std::vector<std::string> keys{"id", "body", "over_white", "over_black"};
    for (const char* more : {"name", "load", "grain_mm", "stock_g", "price_per_100g", "carries",
                             "reacts_with", "strikes", "unfired"})
      if (any_whole(0, 1) == 0)
        keys.emplace_back(more);
    for (std::size_t i = keys.size() - 1; i > 0; --i)
      std::swap(keys[i], keys[static_cast<std::size_t>(any_whole(0, static_cast<int>(i)))]);
    for (const std::string& name : keys) {
      if (any_whole(0, 3) == 0)
        loose();
      key(p, name,
          name == "id"           ? "\"p" + std::to_string(p) + "\""
          : name == "body"       ? "\"opalescent\""
          : name == "over_white" ? "\"#80593c\""
          : name == "over_black" ? "'#77573a'"
                                 : any_value(name));
    }
    loose();
  }

  void sheet() {
    pieces.push_back({-1, "", "[[sheet]]", "", tail()});
    for (const std::string line : {"id = \"stock_g\"", "body = \"opalescent\"", "over_white = \"#f0efeb\"",
                                   "over_black = \"#dcdcd9\""})
      pieces.push_back({-1, "", line, "", tail()});
    loose();
  }

  std::string line_;
  int sheet_after_ = any_whole(0, 4);
};

TEST(PaletteEdit, ChangesWhatItIsToldAndNotAByteMore) {
  holds_always(
      [] {
        AnyPalette made;
        std::vector<Piece> wished = made.pieces;
        const std::string text = whole(made.pieces);
        const std::string line = text.find("\r\n") != std::string::npos ? "\r\n" : "\n";
        std::vector<PowderEdit> edits;
        std::set<std::pair<int, std::string>> seen;
        for (int n = any_whole(1, 4); n > 0; --n) {
          const int p = any_whole(0, made.powder_count - 1);
          const std::string key = *rc::gen::element<std::string>("stock_g", "name", "load", "grain_mm",
                                                                 "carries", "unfired", "strikes");
          if (!seen.insert({p, key}).second)
            continue;
          const auto there = std::find_if(wished.begin(), wished.end(),
                                          [&](const Piece& x) { return x.powder == p && x.key == key; });
          KeyEdit edit{key, {}};
          if (any_whole(0, 2) > 0)
            edit.value = made.any_value(key);
          if (there != wished.end() && edit.value) {
            there->value = *edit.value;
          } else if (there != wished.end()) {
            // The last key of its powder stays in this test: behind it new ones are put.
            const bool last =
                std::none_of(there + 1, wished.end(), [&](const Piece& x) { return x.powder == p; });
            if (last)
              continue;
            *there = {};
          } else if (edit.value) {
            const auto back =
                std::find_if(wished.rbegin(), wished.rend(), [&](const Piece& x) { return x.powder == p; });
            const std::size_t indent = back->before.find_first_not_of(" \t");
            const std::string words = (back->key.empty() ? "" : back->before.substr(0, indent)) + key + " = ";
            const bool open = !back->after.ends_with('\n');
            wished.insert(back.base(), {p, key, open ? line + words : words, *edit.value, open ? "" : line});
          }
          edits.push_back({"p" + std::to_string(p), {edit}});
        }
        if (edits.empty())
          return;
        RC_ASSERT(edit_powders(text, "shelf.toml", edits) == whole(wished));
      },
      400);
}

TEST(PaletteEdit, AnAddedPowderChangesNothingElse) {
  holds_always(
      [] {
        AnyPalette made;
        const std::string text = whole(made.pieces);
        const std::string now = add_powder(text, "shelf.toml",
                                           {{"id", "\"new\""},
                                            {"body", "\"opalescent\""},
                                            {"over_white", "\"#eeeeee\""},
                                            {"over_black", "\"#cccccc\""},
                                            {"carries", made.any_value("carries")}});
        const Palette before = parse_palette(text, "a"), after = parse_palette(now, "b");
        RC_ASSERT(after.powders.size() == before.powders.size() + 1);
        RC_ASSERT(after.powders.back().id == "new");
        // All that was there is there, around one run of new bytes.
        std::size_t same = 0;
        while (same < text.size() && text[same] == now[same])
          ++same;
        RC_ASSERT(now.ends_with(text.substr(same)));
      },
      200);
}

TEST(TomlText, FindsKeysAndValues) {
  const std::string text = "a.'b c' = [1, # ]\n 2] # x\n[t]\n k = \"\"\"x\"\"\"\"\n";
  const auto tables = tables_in(text);
  ASSERT_EQ(tables.size(), 2u);
  ASSERT_EQ(tables[0].keys.size(), 1u);
  const TomlKeyPlace& list = tables[0].keys[0];
  EXPECT_EQ(list.key, "a.b c");
  EXPECT_EQ(text.substr(list.value_begin, list.value_end - list.value_begin), "[1, # ]\n 2]");
  EXPECT_EQ(tables[1].name, "t");
  EXPECT_FALSE(tables[1].listed);
  const TomlKeyPlace& words = tables[1].keys[0];
  EXPECT_EQ(text.substr(words.value_begin, words.value_end - words.value_begin), "\"\"\"x\"\"\"\"");
  EXPECT_EQ(words.line_end, text.size());
}

}  // namespace
}  // namespace powderplan
