// `powderplan plan --within-stock`, run as a user runs it.
#include <gtest/gtest.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "app/workbench.h"

namespace powderplan {
namespace {

using testing::Ended;
using testing::Workbench;
using Json = nlohmann::json;

// All jars of the bench's palette hold so much.
void fill_jars(const Workbench& bench, const std::string& grams) {
  std::string text = testing::text_of_file(bench.bench() / "shelf.toml"), filled;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = std::min(text.find('\n', at), text.size() - 1);
    const std::string line = text.substr(at, end + 1 - at);
    filled += line.starts_with("stock_g") ? "stock_g = " + grams + "\n" : line;
    at = end + 1;
  }
  bench.write("shelf.toml", filled);
}

Json plan_of(const Workbench& bench, const std::string& folder) {
  return Json::parse(testing::text_of_file(bench.bench() / folder / "plan.json"));
}

std::vector<std::string> asked(const std::string& out, const std::string& word) {
  return {"plan",      "tile.png", "--palette",  "shelf.toml", "--width",        "90",
          "--layers",  "3",        "--pitch-mm", "1",          "--base",         "clear",
          "--firings", "2",        "--out",      out,          "--within-stock", word};
}

double most_that_lands(const Json& plan) {
  double most = 0;
  for (const Json& total : plan["totals"])
    most = std::max(most, total["lands_g"].get<double>());
  return most;
}

TEST(WithinStock, AsksNoMoreThanTheJarsHold) {
  const Workbench bench;
  fill_jars(bench, "500");
  ASSERT_EQ(bench.run(asked("free", "no")).code, 0);
  const Json unlimited = plan_of(bench, "free");
  // Less than what stays on the glass of the powder that is used most.
  fill_jars(bench, std::to_string(0.9 * most_that_lands(unlimited)));
  ASSERT_EQ(bench.run(asked("short", "no")).code, 0);
  const Json told = plan_of(bench, "short");
  bool any_short = false;
  for (const Json& total : told["totals"])
    any_short = any_short || total["short_g"].get<double>() > 0;
  ASSERT_TRUE(any_short) << "else nothing is tried";

  const Ended kept = bench.run(asked("kept", "yes"));
  ASSERT_EQ(kept.code, 0) << kept.err;
  const Json within = plan_of(bench, "kept");
  for (const Json& total : within["totals"])
    EXPECT_EQ(total["short_g"].get<double>(), 0) << total["powder"];
  EXPECT_NE(kept.out.find("kept within the jars"), std::string::npos) << kept.out;
}

TEST(WithinStock, ChangesNothingWhereThereIsEnough) {
  const Workbench bench;
  fill_jars(bench, "500");
  ASSERT_EQ(bench.run(asked("free", "no")).code, 0);
  ASSERT_EQ(bench.run(asked("kept", "yes")).code, 0);
  Json one = plan_of(bench, "free"), other = plan_of(bench, "kept");
  EXPECT_EQ(one["layers"], other["layers"]);
  EXPECT_EQ(one["notes"], other["notes"]);
}

}  // namespace
}  // namespace powderplan
