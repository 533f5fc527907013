// What may be said of a shelf, and what is answered to the rest, word for word.
#include "plan/shelf_request.h"

#include <gtest/gtest.h>

#include "plan/flag_answer.h"
#include "plan/piece_file.h"
#include "plan/settings.h"

namespace powderplan {
namespace {

template <class Work>
std::string message(ProblemKind kind, Work&& work) {
  try {
    work();
    return "";
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), kind);
    return problem.what();
  }
}

std::string refused(const std::string& said) {
  return message(ProblemKind::command_line, [&] { shelf_size_of(FlagAnswer("--shelf", {said})); });
}

PlanRequest request_for(double width, double height, std::optional<double> margin = {}) {
  PlanRequest request;
  request.image = "heron.jpg";
  request.palettes = {"shelf.toml"};
  request.size.width = Millimetres(300);
  request.shelf = ShelfSize{Millimetres(width), Millimetres(height)};
  if (margin)
    request.shelf_margin = Millimetres(*margin);
  return request;
}

TEST(ShelfRequest, SizesAreReadAndSaidAgain) {
  const ShelfSize size = shelf_size_of(FlagAnswer("--shelf", {"500x412.5"}));
  EXPECT_EQ(size, (ShelfSize{Millimetres(500), Millimetres(412.5)}));
  EXPECT_EQ(in_words(size), "500x412.5");
}

TEST(ShelfRequest, NonsenseIsRefused) {
  for (const char* said :
       {"500", "x", "500x", "x500", "500x500x500", "500 x 500", "axb", "500x500mm", "0x10x", "-x-"})
    EXPECT_EQ(refused(said), std::string("--shelf: \"") + said +
                                 "\" is no size of a shelf; give its width and height in mm, as 500x400")
        << said;
  for (const char* said : {"49x500", "500x5001", "-500x500", "nanx500", "infx500", "500x0"})
    EXPECT_NE(refused(said).find("an edge of the shelf must be 50 to 5000 mm"), std::string::npos)
        << refused(said);
}

TEST(ShelfRequest, SomethingMustBeLeftWithinTheMargins) {
  const auto told = [](const PlanRequest& request) {
    return message(ProblemKind::command_line, [&] { check_together(request); });
  };
  EXPECT_EQ(told(request_for(500, 150)), "");
  EXPECT_EQ(told(request_for(500, 149)),
            "--shelf: of a shelf of 500x149 mm only 119 mm are left within margins of 15 mm; give a shelf of "
            "at least "
            "150 mm both ways, or a smaller --shelf-margin-mm");
  EXPECT_EQ(told(request_for(500, 149, 10)), "");
  EXPECT_NE(told(request_for(500, 300, 200)).find("only 0 mm are left"), std::string::npos);
}

TEST(ShelfRequest, NoMorePanelsThanArePlannedAndTheShelfThatIsEnough) {
  const Grid grid{Millimetres(2), 1500, 1000};  // 3000 x 2000 mm
  const auto told = [&](const PlanRequest& request) {
    return message(ProblemKind::infeasible, [&] { check_panel_count(request, grid); });
  };
  EXPECT_EQ(told(PlanRequest{}), "");
  EXPECT_EQ(told(request_for(500, 500, 0)), "") << "6 x 4";
  const std::string words = told(request_for(150, 150, 0));
  EXPECT_TRUE(
      words.starts_with("--shelf: the piece would be cut into 280 panels, and more than 99 are not planned; "
                        "give a shelf of "))
      << words;
  // What it asks for is enough, and a millimetre less is not.
  const ShelfSize enough = shelf_size_of(
      FlagAnswer("--shelf", {words.substr(words.find("a shelf of ") + 11,
                                          words.find(" mm, or") - words.find("a shelf of ") - 11)}));
  EXPECT_EQ(told(request_for(enough.width.value(), enough.height.value(), 0)), "");
  EXPECT_NE(told(request_for(enough.width.value() - 1, enough.height.value() - 1, 0)), "");
}

TEST(ShelfRequest, APieceFileSaysItTooAndIsNamedWhenItIsWrong) {
  const PlanRequest request =
      parse_piece("[firing]\nshelf = \"500x400\"\nshelf_margin_mm = 20\n", "piece.toml");
  EXPECT_EQ(in_words(*request.shelf), "500x400");
  EXPECT_EQ(request.shelf_margin, Millimetres(20));
  EXPECT_EQ(
      message(ProblemKind::input, [] { parse_piece("[firing]\n\nshelf = \"big\"\n", "piece.toml"); }),
      "piece.toml:3: [firing]: 'shelf': \"big\" is no size of a shelf; give its width and height in mm, as "
      "500x400");
}

}  // namespace
}  // namespace powderplan
