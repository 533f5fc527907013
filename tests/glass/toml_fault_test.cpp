// What is said about lines of TOML that people get wrong, whatever words toml++ has for them.
#include <gtest/gtest.h>

#include "glass/toml_reader.h"
#include "problem.h"

namespace powderplan {
namespace {

std::string said_of(const std::string& text) {
  try {
    parse_toml(text, "f");
    return "";
  } catch (const Problem& problem) {
    return problem.what();
  }
}

TEST(TomlFault, Numbers) {
  EXPECT_EQ(said_of("load = 0,4\n"), "f:1: 'load' is 0,4, with a comma; write decimals with a point: 0.4");
  EXPECT_EQ(said_of("load = -12,75 # g\n"),
            "f:1: 'load' is -12,75, with a comma; write decimals with a point: -12.75");
  const std::string rest =
      ", which is no number; write digits alone, with a point for decimals, as 0.4, and no unit";
  for (const std::string number : {"3 mm", ".4", "4.", "12g", "007", "1.2.3", "5%", "1e999", "1 x = 2"})
    EXPECT_EQ(said_of("load = " + number + "\n"), "f:1: 'load' is " + number + rest);
}

TEST(TomlFault, Texts) {
  EXPECT_EQ(said_of("name = Heron Grey\n"),
            "f:1: 'name' is Heron Grey, without quotes; put texts in quotes: \"Heron Grey\"");
  EXPECT_EQ(said_of("strikes = Yes\n"), "f:1: 'strikes' is Yes; write true or false, in small letters");
  for (const std::string open :
       {"name = \"Fog\nx = 1\n", "name = 'Fog\nx = 1\n", "name = \"Fog\\\"\n", "name = \"Fog"})
    EXPECT_EQ(said_of(open), "f:1: the quotes of a text are not closed; close them on the same line") << open;
  EXPECT_EQ(said_of("name = \"a\x01\"\n"),
            "f:1: a text holds a letter that cannot be shown; type the text anew");
  EXPECT_EQ(
      said_of("name = \"The \"grey\" fog\"\n"),
      "f:1: 'name' goes on behind its closing quote; put all of it in one pair of quotes; inside them write "
      "\\\" for a quote");
  for (const std::string slash : {"image = \"C:\\pictures\"\n", "image = \"C:\\Users\"\n"})
    EXPECT_EQ(said_of(slash),
              "f:1: a \\ in a text means something of its own; write / in its place, or \\\\");
  for (const std::string curly :
       {"name = \u201cFog\u201d\n", "use = [\u201cfog\u201d]\n", "name = \u00abFog\u00bb\n"})
    EXPECT_EQ(said_of(curly), "f:1: curly quotes cannot be read; type straight ones, as in \"this\"");
  EXPECT_EQ(said_of("a = #c8a040\n"),
            "f:1: 'a' has no value: what follows a # is a note; put a colour in quotes, as \"#c8a040\"");
  EXPECT_EQ(said_of("a =\n"), "f:1: 'a' has no value; write it behind the =, or take the line out");
}

TEST(TomlFault, LinesThatAreNoKeyWithItsValue) {
  const std::string as = "; write each line as key = value, and notes behind a #";
  EXPECT_EQ(said_of("a: 1\n"), "f:1: \"a: 1\" is no key with its value" + as);
  EXPECT_EQ(said_of("Dear studio,\n"), "f:1: \"Dear studio,\" is no key with its value" + as);
  EXPECT_EQ(said_of("= 3\n"), "f:1: \"= 3\" is no key with its value" + as);
  EXPECT_EQ(said_of("\u00a3 50\n"), "f:1: \"\u00a3 50\" is no key with its value" + as);
  EXPECT_EQ(
      said_of("over white = 1\n"),
      "f:1: \"over white\" can be no key; keys are of plain letters, digits, '-' and '_', without spaces");
  EXPECT_EQ(said_of("\n// a note\n"), "f:2: \"// a note\" cannot be read; begin notes with #");
  // Nothing that would move the cursor of a terminal, and no more than a line can hold.
  EXPECT_EQ(said_of("\x1b[2J\n"), "f:1: \"?[2J\" is no key with its value" + as);
  EXPECT_EQ(said_of(std::string(39, 'x') + "\u00e9 y\n"),
            "f:1: \"" + std::string(39, 'x') + "...\" is no key with its value" + as);
}

TEST(TomlFault, HeadingsAndWhatIsThereTwice) {
  for (const std::string half : {"[glass", "[[powder]", "glass]", "[[powder]]]", "[#glass]", "[\u00a3]"})
    EXPECT_EQ(said_of(half + "\n"),
              "f:1: \"" + half + "\" is no whole heading; write [name] or [[name]], alone on its line");
  EXPECT_EQ(said_of("a = 1\na = 2\n"), "f:2: the key 'a' is there twice; take one of them out");
  EXPECT_EQ(said_of("[a]\n[b]\n[a]\n"), "f:3: [a] is there twice; put all its keys under one of them");
  for (const std::string both : {"[[a]]\n[a]\n", "[a]\n[[a]]\n"})
    EXPECT_EQ(
        said_of(both),
        "f:2: both [a] and [[a]] are there; begin each of several with [[...]], and what is there once with "
        "[...]");
}

TEST(TomlFault, Lists) {
  const std::string rest = "; put commas between, and ] at its end";
  EXPECT_EQ(said_of("l = [1 2]\n"),
            "f:1: in a list, a comma or its ] is missing before or in \"l = [1 2]\"" + rest);
  EXPECT_EQ(said_of("l = [1, 2\nx = 3\n"),
            "f:2: in a list, a comma or its ] is missing before or in \"x = 3\"" + rest);
  EXPECT_EQ(said_of("l = [1, 2\n"), "f:1: a list is opened and never closed; close it with ]");
  EXPECT_EQ(said_of("l = [1,, 2]\n"), "f:1: two commas follow each other in a list; take one out");
  EXPECT_EQ(said_of("t = { a = 1\n"),
            "f:1: what stands in { } is not whole; write it on one line, as { a = 1, b = 2 }");
  EXPECT_EQ(said_of("x = " + std::string(1000, '[')),
            "f:1: it holds lists in lists in lists without end; check that you have named the right file");
}

}  // namespace
}  // namespace powderplan
