#include "glass/toml_reader.h"

#include <gtest/gtest.h>

#include <limits>

#include "problem.h"

namespace powderplan {
namespace {

template <class Read>
std::string complaint(const std::string& text, Read&& read) {
  const toml::table root = parse_toml(text, "piece.toml");
  try {
    read(TomlTable(root, "piece.toml", "[limits]"));
  } catch (const Problem& problem) {
    return problem.what();
  }
  return "none";
}

TEST(TomlTable, KeysThatAreAbsentAreEmpty) {
  const toml::table root = parse_toml("", "piece.toml");
  const TomlTable table(root, "piece.toml", "[limits]");
  EXPECT_FALSE(table.has("a"));
  EXPECT_FALSE(table.text("a") || table.number("a", {0, 1}) || table.whole("a", {0, 1}) ||
               table.yes_no("a") || table.colour("a") || table.spectrum("a") || table.texts("a"));
  EXPECT_FALSE(sub_table(root, "a", "piece.toml"));
  EXPECT_TRUE(table_list(root, "a", "piece.toml").empty());
  EXPECT_EQ(table.file(), "piece.toml");
}

TEST(TomlTable, BothEndsOfARangeBelongToIt) {
  const toml::table root = parse_toml("least = 1\nmost = 5.0", "piece.toml");
  const TomlTable table(root, "piece.toml", "[limits]");
  EXPECT_EQ(table.number("least", {1, 5}), 1.0);
  EXPECT_EQ(table.number("most", {1, 5}), 5.0);
  EXPECT_EQ(table.whole("most", {1, 5}), 5);
}

TEST(TomlTable, ComplainsAboutAWholeNumberThatIsNot) {
  const auto read = [](const TomlTable& t) { return t.whole("layers", {1, 16}); };
  EXPECT_EQ(complaint("layers = 2.5", read),
            "piece.toml:1: [limits]: 'layers' is 2.5; it must be a whole number");
  EXPECT_EQ(complaint("\nlayers = 17", read), "piece.toml:2: [limits]: 'layers' is 17; it must be 1 to 16");
  EXPECT_EQ(complaint("layers = 1e300", read),
            "piece.toml:1: [limits]: 'layers' is 1e+300; it must be 1 to 16");
}

TEST(TomlTable, ComplainsAboutAMissingNumberWithItsRange) {
  const auto bounded = [](const TomlTable& t) { return t.need_number("width_mm", {10, 3000}); };
  EXPECT_EQ(complaint("", bounded),
            "piece.toml:1: [limits]: 'width_mm' is missing; add it: a number, 10 to 3000");
  const auto open = [](const TomlTable& t) {
    return t.need_number("width_mm", {10, std::numeric_limits<double>::infinity()});
  };
  EXPECT_EQ(complaint("", open),
            "piece.toml:1: [limits]: 'width_mm' is missing; add it: a number, at least 10");
  EXPECT_EQ(complaint("width_mm = inf", open),
            "piece.toml:1: [limits]: 'width_mm' is inf; it must be at least 10");
}

TEST(TomlTable, ListsItsTablesInTheOrderOfTheFile) {
  const toml::table root = parse_toml("[[a]]\nn = 1\n[[a]]\nn = 2\n", "piece.toml");
  const auto tables = table_list(root, "a", "piece.toml");
  ASSERT_EQ(tables.size(), 2u);
  EXPECT_EQ(tables[0].number("n", {0, 9}), 1);
  EXPECT_EQ(tables[1].number("n", {0, 9}), 2);
}

}  // namespace
}  // namespace powderplan
