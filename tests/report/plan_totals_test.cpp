#include "report/plan_totals.h"

#include <gtest/gtest.h>

#include <map>
#include <nlohmann/json.hpp>

#include "problem.h"
#include "report/fixture.h"
#include "report/plan_json.h"

namespace powderplan {
namespace {

TEST(PlanTotals, AreThoseOfThePlan) {
  for (const PlanRecord& record : {fixture::record_with_fades(), fixture::record_with_repeats()}) {
    const PlanTotals plan = parse_plan_totals(plan_json(record), "plan.json");
    EXPECT_EQ(plan.title, record.title);
    EXPECT_EQ(plan.firings, static_cast<int>(record.firing_plan.firings.size()));
    ASSERT_EQ(plan.layers.size(), record.layers.size());
    std::map<std::string, double> used;
    for (std::size_t i = 0; i < plan.layers.size(); ++i) {
      EXPECT_EQ(plan.layers[i].index, static_cast<int>(i) + 1);
      EXPECT_EQ(plan.layers[i].firing, static_cast<int>(record.firing_plan.places[i].firing) + 1);
      EXPECT_EQ(plan.layers[i].powder, powder_of(record, record.layers[i]).id);
      EXPECT_EQ(plan.layers[i].sift, record.weights.layers[i].sift);
      used[plan.layers[i].powder] += plan.layers[i].used.value();
      const LayerWeights& weights = record.weights.layers[i];
      EXPECT_NEAR(plan.layers[i].used.value(),
                  (weights.lands + weights.overspill * (1 - record.weigh_rules.comes_back)).value(), 1e-9);
    }
    for (const PowderTotal& total : record.weights.totals)
      EXPECT_NEAR(used[record.palette.powders[total.powder].id], total.used.value(), 1e-9);
  }
}

using Json = nlohmann::json;

void expect_refused(const Json& plan, const std::string& words) {
  try {
    (void)parse_plan_totals(plan.dump(), "plan.json");
    ADD_FAILURE() << "not refused: " << words;
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    EXPECT_NE(std::string(problem.what()).find(words), std::string::npos) << problem.what();
  }
}

TEST(PlanTotals, WhatIsFiredAlreadyTakesNothing) {
  PlanRecord record = fixture::record();
  record.firings_done = 1;
  record.weights =
      weigh(record.separation, record.layers, record.palette, record.weigh_rules, layers_done(record));
  const PlanTotals plan = parse_plan_totals(plan_json(record), "plan.json");
  ASSERT_EQ(plan.layers.size(), record.layers.size());
  for (std::size_t i = 0; i < plan.layers.size(); ++i) {
    EXPECT_EQ(plan.layers[i].used == Grams(0), i < layers_done(record)) << i;
    EXPECT_EQ(plan.layers[i].sift == Grams(0), i < layers_done(record)) << i;
  }
}

TEST(PlanTotals, RefusesWhatIsNoPlanOrNoWholeOne) {
  const Json good = Json::parse(plan_json(fixture::record_with_repeats()));
  (void)parse_plan_totals(good.dump(), "plan.json");
  expect_refused({{"schema", 1}}, "plan.json: 'piece' is missing");
  Json bad = good;
  bad["schema"] = 2;
  expect_refused(bad, "plan.json: has schema 2, and this program reads 1; use a newer powderplan");
  bad = good;
  bad["layers"][0].erase("sift_g");
  expect_refused(bad, "plan.json: layer 1: 'sift_g' is missing");
  bad = good;
  bad["layers"][0]["lands_g"] = "much";
  expect_refused(bad, "plan.json: layer 1: 'lands_g' must be a number");
  bad = good;
  bad["layers"][0]["sift_g"] = -1;
  expect_refused(bad, "plan.json: layer 1: 'sift_g' is -1; it must be 0 to 1000000000 g");
  bad = good;
  bad["layers"][0]["firing"] = 99;
  expect_refused(bad, "layer 1: 'firing' is 99");
  bad = good;
  bad["layers"][0]["powder"] = "none";
  expect_refused(bad, "layer 1: its powder \"none\" has no total");
  bad = good;
  bad["totals"][0]["used_g"] = bad["totals"][0]["sift_g"].get<double>() + 1;
  expect_refused(bad, "total 1: 'used_g' is");
  bad = good;
  bad["layers"].erase(bad["layers"].size() - 1);
  expect_refused(bad, "make the plan anew");
  bad = good;
  bad["totals"].push_back(bad["totals"][0]);
  expect_refused(bad, "its powder has a total already");
}

}  // namespace
}  // namespace powderplan
