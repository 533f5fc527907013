#include <gtest/gtest.h>

#include "app/stock_take.h"
#include "app/workbench.h"
#include "glass/palette.h"
#include "problem.h"
#include "report/files.h"

namespace powderplan::testing {
namespace {

// Every place of `what` in the text. Regular expressions make the compiler warn under the sanitizers.
std::string replaced(std::string text, const std::string& what, const std::string& by) {
  for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + by.size()))
    text.replace(at, what.size(), by);
  return text;
}

// Two firings; of what does not land a fifth is lost.
constexpr const char* plan = R"({
 "schema": 1,
 "piece": {"title": "Avocet"},
 "layers": [
  {"index": 1, "firing": 1, "powder": "tide-blue", "lands_g": 10, "sift_g": 20},
  {"index": 2, "firing": 1, "powder": "reed-gold", "lands_g": 5, "sift_g": 5},
  {"index": 3, "firing": 2, "powder": "tide-blue", "lands_g": 20, "sift_g": 35}
 ],
 "firings": [{}, {}],
 "totals": [
  {"powder": "tide-blue", "lands_g": 30, "sift_g": 55, "used_g": 35},
  {"powder": "reed-gold", "lands_g": 5, "sift_g": 5, "used_g": 5}
 ]
})";

class StockBench : public Workbench {
 public:
  StockBench() {
    fs::create_directory(bench() / "plan");
    write("plan/plan.json", plan);
  }
  [[nodiscard]] double stock(const std::string& id) const {
    return parse_palette(text_of_file(bench() / "shelf.toml"), "shelf.toml").find_powder(id)->stock->value();
  }
};

// The numbers of a powder's line in the table.
std::string numbers_of(const std::string& out, const std::string& id) {
  const std::size_t at = out.find("  " + id + " ");
  if (at == std::string::npos)
    return "";
  const std::string line = out.substr(at + 2 + id.size(), out.find('\n', at) - at - 2 - id.size());
  std::string words;
  for (const char c : line)
    if (c != ' ' || (!words.empty() && words.back() != ' '))
      words += c;
  while (words.ends_with(' '))
    words.pop_back();
  return words;
}

TEST(StockCommand, WithoutTakeItOnlyTells) {
  const StockBench bench;
  const auto before = bench.listing();
  const Ended ended = bench.run({"stock", "plan", "--palette", "shelf.toml"});
  EXPECT_EQ(ended.err, "");
  ASSERT_EQ(ended.code, 0);
  EXPECT_EQ(numbers_of(ended.out, "tide-blue"), "200.00 35.00 165.00") << ended.out;
  EXPECT_EQ(numbers_of(ended.out, "reed-gold"), "180.00 5.00 175.00");
  EXPECT_NE(ended.out.find("Nothing to order."), std::string::npos);
  EXPECT_NE(ended.out.find("Nothing has been changed"), std::string::npos);
  EXPECT_TRUE(bench.listing() == before);
}

TEST(StockCommand, CountsOnlyTheFiringsThatAreAskedFor) {
  const StockBench bench;
  const Ended ended = bench.run({"stock", "plan", "--palette", "shelf.toml", "--firing", "2"});
  EXPECT_EQ(numbers_of(ended.out, "tide-blue"), "200.00 23.00 177.00") << ended.out;
  EXPECT_EQ(numbers_of(ended.out, "reed-gold"), "");
  EXPECT_EQ(bench.run({"stock", "plan", "--palette", "shelf.toml", "--firing", "1,2"}).out,
            bench.run({"stock", "plan", "--palette", "shelf.toml"}).out);
}

TEST(StockCommand, ListsWhatToOrderAndItsPrice) {
  const StockBench bench;
  const Ended ended = bench.run({"stock", "plan", "--palette", "shelf.toml", "--reserve", "190"});
  EXPECT_NE(ended.out.find("Tide Blue (tide-blue): 25.00 g, 1.50 at 6.00 per 100 g"), std::string::npos)
      << ended.out;
  EXPECT_NE(ended.out.find("Sorrel Red (sorrel-red): 70.00 g"), std::string::npos)
      << "a jar that no plan wants is below the reserve too: " << ended.out;
  EXPECT_NE(ended.out.find("  in all "), std::string::npos);
}

TEST(StockCommand, TakesWhatIsUsedOffTheJarsAndKeepsTheOldPalette) {
  const StockBench bench;
  const std::string before = text_of_file(bench.bench() / "shelf.toml");
  const Ended ended = bench.run({"stock", "plan", "--palette", "shelf.toml", "--take"});
  ASSERT_EQ(ended.code, 0) << ended.err;
  EXPECT_EQ(bench.stock("tide-blue"), 165);
  EXPECT_EQ(bench.stock("reed-gold"), 175);
  EXPECT_EQ(bench.stock("creek-black"), 400);
  EXPECT_EQ(text_of_file(bench.bench() / "shelf.before-1.toml"), before);
  const std::string after =
      replaced(replaced(before, "stock_g = 200", "stock_g = 165"), "stock_g = 180", "stock_g = 175");
  EXPECT_EQ(text_of_file(bench.bench() / "shelf.toml"), after) << "comments and order stay";
}

TEST(StockCommand, TakesNothingTwiceByAccident) {
  const StockBench bench;
  const std::vector<std::string> take{"stock", "plan", "--palette", "shelf.toml", "--take"};
  ASSERT_EQ(bench.run({"stock", "plan", "--palette", "shelf.toml", "--take", "--firing", "1"}).code, 0);
  EXPECT_EQ(bench.stock("tide-blue"), 188);
  expect_refused(
      bench, take, 2,
      "powderplan: plan/plan.json: layers 1 and 2 of it were taken off shelf.toml before; name the "
      "firings that are still to be taken by --firing, or say --again if the piece is made again");
  // The plan is known again under another name.
  fs::rename(bench.bench() / "plan", bench.bench() / "avocet");
  EXPECT_EQ(bench.run({"stock", "avocet", "--palette", "shelf.toml", "--take"}).code, 2);
  ASSERT_EQ(bench.run({"stock", "avocet", "--palette", "shelf.toml", "--take", "--firing", "2"}).code, 0);
  EXPECT_EQ(bench.stock("tide-blue"), 165);
  const Ended listed = bench.run({"stock", "avocet", "--palette", "shelf.toml"});
  EXPECT_NE(listed.out.find("layers 1, 2 and 3 of Avocet were taken off shelf.toml before"),
            std::string::npos);
  ASSERT_EQ(bench.run({"stock", "avocet", "--palette", "shelf.toml", "--take", "--again"}).code, 0);
  EXPECT_EQ(bench.stock("tide-blue"), 130);
  EXPECT_TRUE(fs::exists(bench.bench() / "shelf.before-3.toml"));
}

TEST(StockCommand, RealWeightsCountInsteadOfPlannedOnes) {
  const StockBench bench;
  bench.write("w.csv", "layer,grams\n3,30.5\n");
  bench.write("w.json", "{\"schema\": 1, \"layers\": [{\"index\": 3, \"grams\": 30.5}]}");
  const Ended ended = bench.run({"stock", "plan", "--palette", "shelf.toml", "--weights", "w.csv"});
  EXPECT_EQ(numbers_of(ended.out, "tide-blue"), "200.00 42.50 157.50") << ended.out;
  EXPECT_EQ(bench.run({"stock", "plan", "--palette", "shelf.toml", "--weights", "w.json"}).out, ended.out);
  bench.write("w.csv", "layer,grams\n4,1\n");
  expect_refused(bench, {"stock", "plan", "--palette", "shelf.toml", "--weights", "w.csv"}, 3,
                 "powderplan: w.csv: the plan has no layer 4; check its number on the worksheet");
}

// As the worksheet saves it: notes of all firings, layers without grams, and the plan that they belong to.
TEST(StockCommand, TakesTheNotesOfTheWorksheet) {
  const StockBench bench;
  const std::string text = text_of_file(bench.bench() / "plan" / "plan.json");
  const std::string notes =
      R"({"schema": 1, "title": "Avocet", "plan_sha256": ")" +
      sha256({reinterpret_cast<const std::uint8_t*>(text.data()), text.size()}) +
      R"(", "layers": [{"index": 1, "done": true}, {"index": 3, "grams": 30.5, "done": true}],
    "firings_done": 2})";
  bench.write("notes.json", notes);
  bench.write("w.csv", "layer,grams\n3,30.5\n");
  const std::vector<std::string> by_notes{"stock",      "plan",      "--palette",
                                          "shelf.toml", "--weights", "notes.json"};
  EXPECT_EQ(bench.run(by_notes).out,
            bench.run({"stock", "plan", "--palette", "shelf.toml", "--weights", "w.csv"}).out);
  // Layer 3 belongs to the second firing.
  EXPECT_EQ(
      bench.run({"stock", "plan", "--palette", "shelf.toml", "--firing", "1", "--weights", "notes.json"}).out,
      bench.run({"stock", "plan", "--palette", "shelf.toml", "--firing", "1"}).out);
  bench.write("plan/plan.json", replaced(text, "Avocet", "Heron"));
  const Ended other = bench.run(by_notes);
  EXPECT_EQ(other.code, 3);
  EXPECT_NE(other.err.find("notes.json: its weights were noted for another plan"), std::string::npos)
      << other.err;
}

TEST(StockCommand, SeveralPlansCountTogether) {
  const StockBench bench;
  fs::create_directory(bench.bench() / "second");
  bench.write("second/plan.json", replaced(plan, "Avocet", "Heron"));
  const Ended ended = bench.run({"stock", "plan", "second", "--palette", "shelf.toml"});
  ASSERT_EQ(ended.code, 0) << ended.err;
  EXPECT_EQ(numbers_of(ended.out, "tide-blue"), "200.00 70.00 130.00");
  expect_refused(
      bench, {"stock", "plan", "plan", "--palette", "shelf.toml"}, 2,
      "powderplan: plan: is the same plan as one before it; name it once, or say --again if the piece "
      "is made twice");
}

TEST(StockCommand, AJarThatHeldLessIsEmptyAndOneWithoutStockIsLeftAlone) {
  const StockBench bench;
  std::string shelf = text_of_file(bench.bench() / "shelf.toml");
  shelf = replaced(shelf, "stock_g = 200", "stock_g = 20");
  shelf = replaced(shelf, "stock_g = 180\n", "");
  bench.write("shelf.toml", shelf);
  const Ended ended = bench.run({"stock", "plan", "--palette", "shelf.toml", "--take"});
  ASSERT_EQ(ended.code, 0) << ended.err;
  EXPECT_EQ(numbers_of(ended.out, "tide-blue"), "20.00 35.00 0.00 27.00") << ended.out;
  EXPECT_NE(ended.out.find("Not known of reed-gold: no stock_g on the shelf."), std::string::npos);
  EXPECT_NE(ended.out.find("tide-blue has used more than the jar is said to have held"), std::string::npos);
  EXPECT_EQ(bench.stock("tide-blue"), 0);
  EXPECT_EQ(text_of_file(bench.bench() / "shelf.taken.json").find("reed-gold"), std::string::npos);
}

TEST(StockCommand, AReadOnlyPaletteOrADamagedRecordIsLeftAsItIs) {
  const StockBench bench;
  const std::vector<std::string> take{"stock", "plan", "--palette", "shelf.toml", "--take"};
  fs::permissions(bench.bench() / "shelf.toml", fs::perms::owner_read);
  expect_refused(
      bench, take, 1,
      "powderplan: BENCH/shelf.toml: is read-only; make it writable if it is to be changed, or work on "
      "a copy of it");
  fs::permissions(bench.bench() / "shelf.toml", fs::perms::owner_read | fs::perms::owner_write);
  bench.write("shelf.taken.json", "{\"schema\": 1}");
  expect_refused(bench, take, 3,
                 "powderplan: BENCH/shelf.taken.json: 'taken' is missing; add it, or make the file anew");
  fs::remove(bench.bench() / "shelf.taken.json");
  fs::create_directory(bench.bench() / "shelf.taken.json");
  expect_refused(bench, take, 3, "powderplan: BENCH/shelf.taken.json: is a folder; name a file in it");
}

// Two shelves; the second is changed by somebody else after it was read: nothing of the first may stay
// changed.
TEST(StockTake, WhatCannotBeDoneForAllShelvesIsDoneForNone) {
  const StockBench bench;
  const std::string one = (bench.bench() / "shelf.toml").string(),
                    two = (bench.bench() / "more.toml").string();
  const auto shelf_of = [](const std::string& id) {
    const std::string colours =
        "\nbody = \"opalescent\"\nover_white = \"#eeeeee\"\nover_black = \"#dddddd\"\n";
    return "[[powder]]\nid = \"" + id + "\"" + colours + "stock_g = 10\n[[sheet]]\nid = \"" + id +
           "-sheet\"" + colours;
  };
  bench.write("shelf.toml", shelf_of("a"));
  bench.write("more.toml", shelf_of("b"));
  const std::vector<StockPalette> shelves{read_stock_palette(one), read_stock_palette(two)};
  const Palette palette = merge({shelves[0].palette, shelves[1].palette}, {one, two});
  const std::vector<StockPlan> plans{
      {.file = "plan.json",
       .sha256 = "ab",
       .title = "Avocet",
       .layers = {{1, 1, "a", Grams(2), Grams(3)}, {2, 1, "b", Grams(4), Grams(4)}}}};
  const std::vector<JarState> jars =
      jars_after(palette, {{"a", Grams(2), Grams(3)}, {"b", Grams(4), Grams(4)}}, Grams(0));
  bench.write("more.toml", shelf_of("b") + "# weighed again\n");
  const auto before = bench.listing();
  EXPECT_THROW(take_off(plans, shelves, jars, palette, false), Problem);
  EXPECT_TRUE(bench.listing() == before);

  bench.write("more.toml", shelf_of("b"));
  take_off(plans, shelves, jars, palette, false);
  EXPECT_EQ(read_stock_palette(one).palette.powders[0].stock, Grams(8));
  EXPECT_EQ(read_stock_palette(two).palette.powders[0].stock, Grams(6));
  EXPECT_EQ(taken_before(plans, shelves).size(), 2u) << "each shelf has its own record";
}

TEST(StockCommand, RefusesInOneLineWithTheRightCode) {
  const StockBench bench;
  expect_refused(bench, {"stock", "--palette", "shelf.toml"}, 2,
                 "powderplan: PLAN-FOLDER: no plan is named; name the folder of a plan, or several");
  expect_refused(bench, {"stock", "plan"}, 2,
                 "powderplan: --palette: is missing; name the file of your shelf");
  expect_refused(bench, {"stock", "none", "--palette", "shelf.toml"}, 3,
                 "powderplan: none/plan.json: no such file; check the name and the folder");
  expect_refused(bench, {"stock", "plan", "--palette", "shelf.toml", "--firing", "3"}, 2,
                 "powderplan: --firing: plan/plan.json has 2 firings, and no firing 3; choose one of its "
                 "firings, or leave --firing out for all");
  expect_refused(bench, {"stock", "plan", "--palette", "shelf.toml", "--reserve", "-1"}, 2,
                 "powderplan: --reserve: -1 is out of range; it must be 0 to 1000000 g");
  bench.write("plan/plan.json", replaced(plan, "reed-gold", "alien"));
  expect_refused(
      bench, {"stock", "plan", "--palette", "shelf.toml"}, 3,
      "powderplan: plan/plan.json: its powder \"alien\" is not on the shelf; name the palette that it "
      "was planned with, or all of them");
}

}  // namespace
}  // namespace powderplan::testing
