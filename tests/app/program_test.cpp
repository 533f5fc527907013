// The command line, word for word.
#include "app/program.h"

#include <fmt/format.h>
#include <gtest/gtest.h>

#include <algorithm>
#include <filesystem>
#include <sstream>
#include <string>
#include <vector>

#include "app/exit_code.h"
#include "app/messages.h"
#include "plan/settings.h"

namespace powderplan {
namespace {

struct Answered {
  int code;
  std::string out, err;
};

Answered say(std::vector<std::string> words) {
  words.insert(words.begin(), "powderplan");
  std::vector<const char*> arguments;
  for (const std::string& word : words)
    arguments.push_back(word.c_str());
  std::ostringstream out, err;
  const int code = run(static_cast<int>(arguments.size()), arguments.data(), out, err);
  return {code, out.str(), err.str()};
}

void expect_refused(const std::vector<std::string>& words, const std::string& line) {
  const Answered answered = say(words);
  EXPECT_EQ(answered.err, "powderplan: " + line + "\n");
  EXPECT_EQ(answered.out, "");
  EXPECT_EQ(answered.code, 2);
}

TEST(ExitCode, OneForEachKind) {
  EXPECT_EQ(exit_done, 0);
  EXPECT_EQ(exit_code(ProblemKind::command_line), 2);
  EXPECT_EQ(exit_code(ProblemKind::input), 3);
  EXPECT_EQ(exit_code(ProblemKind::infeasible), 4);
  EXPECT_EQ(exit_code(ProblemKind::other), 1);
}

TEST(Messages, AreOneLineWhateverWasThrown) {
  EXPECT_EQ(line_of({ProblemKind::input, "a\nb.png", "is\tempty", "copy it"}),
            "powderplan: a b.png: is empty; copy it");
  EXPECT_EQ(line_of(problem_of(std::bad_alloc())),
            "powderplan: memory: there is not enough for this piece; make --pitch-mm coarser or the picture "
            "smaller");
  EXPECT_EQ(line_of(problem_of(std::runtime_error("odd\nstate"))),
            "powderplan: inside the program: odd state; this is a fault of ours; please report it");
  const Problem disk = problem_of(std::filesystem::filesystem_error(
      "rename", "plan", std::make_error_code(std::errc::no_space_on_device)));
  EXPECT_EQ(line_of(disk), "powderplan: plan: No space left on device; check the disk and its permissions");
  EXPECT_EQ(disk.kind(), ProblemKind::other);
}

TEST(Program, AloneItShowsTheHelpAndSaysWhatIsMissing) {
  const Answered answered = say({});
  EXPECT_EQ(answered.code, 2);
  EXPECT_EQ(answered.err,
            "powderplan: command line: no command is given; say plan, options, palette, heat, tile, fit, "
            "compare, proof or "
            "stock\n");
  EXPECT_NE(answered.out.find("powderplan plan heron.jpg --palette shelf.toml --width 300"),
            std::string::npos);
  std::ostringstream out, err;
  EXPECT_EQ(run(0, nullptr, out, err), 2);
}

TEST(Program, VersionAndHelp) {
  EXPECT_EQ(say({"--version"}).out.substr(0, 11), "powderplan ");
  for (const std::vector<std::string>& words :
       {std::vector<std::string>{"--help"}, {"-h"}, {"plan", "--help"}, {"palette", "-h"}}) {
    const Answered answered = say(words);
    EXPECT_EQ(answered.code, 0);
    EXPECT_EQ(answered.err, "");
    EXPECT_NE(answered.out.find("Usage: powderplan"), std::string::npos);
    EXPECT_EQ(answered.out.find("\n\n\n"), std::string::npos);
  }
}

TEST(Program, TheHelpNamesEveryKeyOfAPieceFile) {
  const std::string help = say({"plan", "--help"}).out;
  const std::size_t begin = help.find("A piece file holds");
  ASSERT_NE(begin, std::string::npos);
  std::string words = help.substr(begin);
  std::replace_if(
      words.begin(), words.end(), [](char c) { return c == ',' || c == '\n'; }, ' ');
  for (const Setting& setting : all_settings())
    EXPECT_NE(words.find(fmt::format(" {} ", setting.key)), std::string::npos) << setting.key;
}

TEST(Program, WordsItDoesNotKnow) {
  expect_refused({"plna"}, "plna: is no command; did you mean plan?");
  expect_refused({"heron.jpg"},
                 "heron.jpg: is no command; say plan or options or palette or heat or tile or fit or compare "
                 "or proof or stock");
  expect_refused({"--width", "3"}, "--width: is no flag of this command; see powderplan --help");
  expect_refused({"plan", "a.png", "--layrs", "3"},
                 "--layrs: is no flag of this command; did you mean --layers?");
  expect_refused({"plan", "a.png", "--layrs=3"},
                 "--layrs: is no flag of this command; did you mean --layers?");
  expect_refused({"plan", "-w", "3"}, "-w: is no flag of this command; see powderplan plan --help");
  expect_refused(
      {"plan", "my", "heron.jpg"},
      "heron.jpg: is one word too many; put names with spaces in quotes; see powderplan plan --help");
}

TEST(Program, ValuesThatAreMissingOrTooMany) {
  expect_refused({"plan", "a.png", "--width"}, "--width: its value is missing; write it after the flag");
  expect_refused({"plan", "a.png", "--out"}, "--out: its value is missing; write it after the flag");
  expect_refused({"plan", "a.png", "--width", "3", "--width", "4"},
                 "--width: is given 2 times; give it once");
  expect_refused({"plan", "a.png", "--piece", "a", "--piece", "b"},
                 "--piece: is given 2 times; give it once");
  expect_refused({"plan", "a.png", "--replace=now"}, "--replace: takes no value; write it alone");
  expect_refused({"plan"},
                 "IMAGE: no picture is given; name a photo or drawing, or a piece file with --piece");
  expect_refused({"plan", "a.png"}, "--palette: no palette is given; name the file of your shelf");
  expect_refused({"plan", "a.png", "--palette", "p.toml"},
                 "--width: the width of the piece is not given; give it in millimetres");
  expect_refused({"palette"}, "FILE: no palette is given; name the file of your shelf");
}

TEST(Program, WordsAmongAFew) {
  expect_refused({"plan", "a.png", "--raised", "always"},
                 "--raised: \"always\" is none of its values; choose one of never, when-needed, freely");
  expect_refused({"plan", "a.png", "--in-firing", "fog-white"},
                 "--in-firing: \"fog-white\" names no powder and firing; write it as ID=N, e.g. fog-white=2");
  expect_refused({"plan", "a.png", "--finish-of", "fog-white=shiny"},
                 "--finish-of: \"shiny\" is no finish; choose from tack, contour, full");
  expect_refused({"plan", "a.png", "--light", "3000K"},
                 "--light: \"3000K\" is no light; use D65, D50, A, or daylight of 4000 to 25000 K as 6000K");
  expect_refused({"plan", "a.png", "--crop", "0,0,1"},
                 "--crop: \"0,0,1\" is not 4 numbers; write them without spaces, with commas between");
  expect_refused({"plan", "a.png", "--use", "a,,b"},
                 "--use: a name in \"a,,b\" is empty; write them without spaces, with commas between");
  expect_refused({"plan", "a.png", "--layers", "2.5"},
                 "--layers: 2.5 is no whole number; it must be 1 to 32");
}

}  // namespace
}  // namespace powderplan
