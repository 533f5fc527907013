#include "report/plan_json.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "optics/surface.h"
#include "parallel.h"
#include "report/fixture.h"

namespace powderplan {
namespace {

using Json = nlohmann::ordered_json;

std::vector<std::string> keys(const Json& object) {
  std::vector<std::string> names;
  for (const auto& item : object.items())
    names.push_back(item.key());
  return names;
}

TEST(PlanJson, HasItsKeysSchemaFirst) {
  const Json json = Json::parse(plan_json(fixture::record()));
  EXPECT_EQ(keys(json),
            (std::vector<std::string>{"schema", "program", "inputs", "piece", "grid", "bands_nm", "powders",
                                      "sheet", "light", "model", "layers", "firings", "totals", "fidelity",
                                      "effort", "cautions", "notes", "seconds"}));
  EXPECT_EQ(json["schema"], 1);
  EXPECT_EQ(keys(json["layers"][0]),
            (std::vector<std::string>{"index",       "firing",  "powder",       "technique", "load_g_cm2",
                                      "amount",      "stack",   "area_cm2",     "lands_g",   "sift_g",
                                      "overspill_g", "capture", "regions",      "stencil",   "lines",
                                      "scratched",   "final",   "after_firing", "loose",     "why"}));
  EXPECT_EQ(json["layers"][2]["amount"], "layers/03-kelp-green.png");
  EXPECT_TRUE(json["seconds"].is_object());
  EXPECT_TRUE(json["seconds"].empty());
  EXPECT_EQ(json["totals"][2]["stock_g"], nullptr);
}

TEST(PlanJson, NumbersReadBackToTheSameBits) {
  const PlanRecord plan = fixture::record();
  const Json json = Json::parse(plan_json(plan));
  for (std::size_t p = 0; p < 3; ++p) {
    EXPECT_EQ(json["powders"][p]["k"].get<std::vector<double>>(),
              std::vector<double>(plan.palette.powders[p].optics.k.begin(),
                                  plan.palette.powders[p].optics.k.end()));
    EXPECT_EQ(json["powders"][p]["s"][17].get<double>(), plan.palette.powders[p].optics.s[17]);
  }
  EXPECT_EQ(json["model"]["surface_inner"].get<double>(), glass_surface().inner);
  EXPECT_EQ(json["layers"][1]["lands_g"].get<double>(), plan.weights.layers[1].lands.value());
}

TEST(PlanJson, OnlyPowdersInUseAreListedAndEachOnce) {
  PlanRecord plan = fixture::record();
  Powder spare = plan.palette.powders[0];
  spare.id = "spare";
  plan.palette.powders.push_back(spare);
  plan.separation.choice[2].powder = 0;  // the white once more, on top
  const Json json = Json::parse(plan_json(plan));
  ASSERT_EQ(json["powders"].size(), 2u);
  EXPECT_EQ(json["powders"][1]["id"], "kelp-green");
}

TEST(PlanJson, TheSameBytesWhateverTheThreads) {
  const ThreadCount one(1);
  const std::string alone = plan_json(fixture::record());
  const ThreadCount five(5);
  EXPECT_EQ(plan_json(fixture::record()), alone);
}

TEST(PlanJson, TextThatIsNoUtf8IsReplaced) {
  PlanRecord plan = fixture::record();
  plan.title = "na\xefve";
  EXPECT_EQ(Json::parse(plan_json(plan))["piece"]["title"], "na\xef\xbf\xbdve");
}

TEST(PlanJson, SecondsAreTheRecords) {
  PlanRecord plan = fixture::record();
  plan.seconds["separation"] = 1.5;
  EXPECT_EQ(Json::parse(plan_json(plan))["seconds"]["separation"], 1.5);
}

TEST(PlanJson, AnEmptyPlanIsAPlan) {
  PlanRecord plan = fixture::record();
  plan.layers.clear();
  plan.firing_plan = {};
  plan.weights = {};
  plan.separation.choice.clear();
  const Json json = Json::parse(plan_json(plan));
  EXPECT_TRUE(json["layers"].is_array());
  EXPECT_TRUE(json["layers"].empty());
  EXPECT_EQ(json["effort"]["cut_mm"], 0.0);
}

}  // namespace
}  // namespace powderplan
