// Flags and keys into one request.
#include "app/plan_command.h"

#include <gtest/gtest.h>

#include <CLI/CLI.hpp>

#include "app/command_line.h"
#include "app/piece_request.h"
#include "problem.h"

namespace powderplan {
namespace {

PlanOptions parsed(const std::vector<std::string>& words) {
  CLI::App app;
  PlanOptions options;
  setup_plan(app, options);
  std::vector<std::string> all{"plan"};
  all.insert(all.end(), words.begin(), words.end());
  parse_command_line(app, all);
  return options;
}

// With what the piece file holds, where one is named.
PlanRequest asked(const PlanOptions& options, const std::string& text) {
  PieceText piece;
  if (!options.piece.piece.empty())
    piece = {options.piece.piece.front(), text};
  return request_of(options.piece, piece);
}

// For each flag two values: what the piece file says, and what the flag says; the flag's as it is shown.
struct Pair {
  const char *flag, *toml, *said, *shown;
};
constexpr Pair pairs[] = {
    {"IMAGE", "\"a.png\"", "b.png", "b.png"},
    {"--palette", "\"a.toml\"", "b,c.toml", "b,c.toml"},
    {"--width", "100", "200.5", "200.5"},
    {"--height", "100", "200", "200"},
    {"--title", "\"one\"", "two words", "two words"},
    {"--crop", "[0, 0, 0.5, 0.5]", "0.25,0,1,0.75", "0.25,0,1,0.75"},
    {"--fit", "\"fill\"", "whole", "whole"},
    {"--range", "\"fit\"", "keep", "keep"},
    {"--base", "\"clear\"", "white", "white"},
    {"--view", "\"wall\"", "window", "window"},
    {"--light", "\"D50\"", "A", "A"},
    {"--backing", "\"#000000\"", "#ffffff", "#ffffff"},
    {"--seen-from-mm", "1000", "3000", "3000"},
    {"--layers", "3", "5", "5"},
    {"--firings", "3", "2", "2"},
    {"--powders", "3", "4", "4"},
    {"--powders-at-a-spot", "1", "2", "2"},
    {"--smallest-mm", "3", "1", "1"},
    {"--load", "0.5", "0.6", "0.6"},
    {"--least-layer-load", "0.02", "0.03", "0.03"},
    {"--pitch-mm", "0.5", "1", "1"},
    {"--use", "[\"a\"]", "b,c", "b,c"},
    {"--without", "[\"d\"]", "e", "e"},
    {"--order", "[\"a\"]", "c,b", "c,b"},
    {"--techniques", "[\"fade\"]", "stencil,line", "stencil,line"},
    {"--lay", "[\"a=fade\"]", "b=line,c=stencil", "b=line,c=stencil"},
    {"--lay-not", "[\"a=fade\"]", "d=line", "d=line"},
    {"--react", "[\"a+b=avoid\"]", "c+d=wish,a+d=avoid", "c+d=wish,a+d=avoid"},
    {"--soft-edge-mm", "20", "12", "12"},
    {"--bridge-mm", "4", "5", "5"},
    {"--border-mm", "20", "0", "0"},
    {"--cut-tolerance-mm", "0.3", "0.2", "0.2"},
    {"--paper", "\"a4\"", "letter", "letter"},
    {"--repeats", "\"never\"", "always", "always"},
    {"--finish", "\"tack\"", "contour", "contour"},
    {"--between", "\"contour\"", "full", "full"},
    {"--raised", "\"freely\"", "never", "never"},
    {"--in-firing", "[\"a=1\"]", "b=2,c=3", "b=2,c=3"},
    {"--finish-of", "[\"a=full\"]", "b=tack,c=contour", "b=tack,c=contour"},
    {"--shelf", "\"600x400\"", "500x500", "500x500"},
    {"--shelf-margin-mm", "10", "20", "20"},
    {"--sweep-margin-mm", "5", "0", "0"},
    {"--within-stock", "\"no\"", "yes", "yes"},
    {"--comes-back", "0.5", "1", "1"},
};

// Enough for a plan.
const std::string least_piece = "[piece]\nimage = \"i.png\"\npalette = \"p.toml\"\nwidth_mm = 50\n";

std::string piece_with(const Setting& setting, const std::string& value) {
  const std::string line = std::string(setting.key) + " = " + value + "\n";
  if (setting.table != "piece")
    return least_piece + "[" + std::string(setting.table) + "]\n" + line;
  const std::size_t begin = least_piece.find(std::string(setting.key) + " =");
  if (begin == std::string::npos)
    return least_piece + line;
  std::string text = least_piece;
  return text.replace(begin, text.find('\n', begin) + 1 - begin, line);
}

TEST(PlanCommand, EveryFlagWinsOverItsKey) {
  std::size_t tried = 0;
  for (const Pair& pair : pairs) {
    const Setting* setting = setting_of_flag(pair.flag);
    ASSERT_NE(setting, nullptr) << pair.flag;
    const std::string piece = piece_with(*setting, pair.toml);
    const PlanRequest keyed = asked(parsed({"--piece", "piece.toml"}), piece);
    std::vector<std::string> words{"--piece", "piece.toml"};
    if (setting->flag.starts_with("--"))
      words.emplace_back(setting->flag);
    words.emplace_back(pair.said);
    const PlanRequest flagged = asked(parsed(words), piece);
    EXPECT_NE(setting->shown(keyed), pair.shown) << pair.flag;
    EXPECT_EQ(setting->shown(flagged), pair.shown) << pair.flag;
    for (const Setting& other : all_settings()) {
      if (&other != setting) {
        EXPECT_EQ(other.shown(flagged), other.shown(keyed)) << pair.flag << " and " << other.flag;
      }
    }
    ++tried;
  }
  EXPECT_EQ(tried, all_settings().size());
}

TEST(PlanCommand, FlagsAloneAreEnough) {
  const PlanRequest request =
      asked(parsed({"--palette", "a.toml", "--palette", "b.toml", "my heron.jpg", "--width", "300"}), "");
  EXPECT_EQ(request.image, "my heron.jpg");
  EXPECT_EQ(request.palettes, (std::vector<std::filesystem::path>{"a.toml", "b.toml"}));
  EXPECT_EQ(request.size.width, Millimetres(300));
  EXPECT_FALSE(request.piece_file.has_value());
}

TEST(PlanCommand, FlagsSpeakOfThisFolderAndKeysOfThePieceFiles) {
  const PlanRequest request =
      asked(parsed({"--piece", "work/piece.toml", "--palette", "mine.toml"}), least_piece);
  EXPECT_EQ(request.image, "work/i.png");
  EXPECT_EQ(request.palettes.at(0), "mine.toml");
}

TEST(PlanCommand, ListsComeWithCommasOrOneByOne) {
  const PlanRequest request =
      asked(parsed({"i", "--palette", "p", "--width", "9", "--use", "a,b", "--use", "c"}), "");
  EXPECT_EQ(request.use, (std::vector<std::string>{"a", "b", "c"}));
}

TEST(PlanCommand, ThisRunOnly) {
  const PlanOptions options = parsed(
      {"i", "--palette", "p", "--width", "9", "--threads", "3", "--max-megapixels", "0.5", "--timings"});
  const PlanRequest request = asked(options, "");
  EXPECT_EQ(request.threads, 3U);
  EXPECT_EQ(request.picture_limits.most_pixels, 500'000U);
  EXPECT_TRUE(options.timings);
  const PlanOptions least = parsed({"i", "--palette", "p", "--width", "9"});
  EXPECT_EQ(asked(least, "").threads, 0U);
  EXPECT_FALSE(least.timings);
}

TEST(PlanCommand, ThePlanIsNamedAfterThePicture) {
  const auto folder = [](const std::vector<std::string>& words) {
    const PlanOptions options = parsed(words);
    return plan_folder_of(options, asked(options, least_piece));
  };
  EXPECT_EQ(folder({"photos/my.best.heron.jpg", "--palette", "p", "--width", "9"}), "my.best.heron-plan");
  EXPECT_EQ(folder({"i.png", "--palette", "p", "--width", "9", "--out", "a/b"}), "a/b");
  EXPECT_EQ(folder({"--piece", "work/piece.toml"}), "i-plan");
}

TEST(PlanCommand, AComplaintNamesTheLineWhenThePieceFileSaidIt) {
  const auto complaint = [](const std::vector<std::string>& words, const std::string& piece) -> std::string {
    try {
      asked(parsed(words), piece);
      return "";
    } catch (const Problem& problem) {
      return (problem.kind() == ProblemKind::input ? "input: " : "command line: ") +
             std::string(problem.what());
    }
  };
  EXPECT_EQ(complaint({"--piece", "p.toml"}, least_piece + "[limits]\norder = [\"a\", \"a\"]\n"),
            "input: p.toml:6: [limits]: 'order': \"a\" is named twice; name each powder once");
  EXPECT_EQ(
      complaint({"--piece", "p.toml", "--order", "b,b"}, least_piece + "[limits]\norder = [\"a\", \"a\"]\n"),
      "command line: --order: \"b\" is named twice; name each powder once");
  EXPECT_EQ(complaint({"--piece", "p.toml"}, "[piece]\nimage = \"i.png\"\n"),
            "input: p.toml:1: [piece]: 'palette' is missing; add the line palette = \"shelf.toml\" there");
}

}  // namespace
}  // namespace powderplan
