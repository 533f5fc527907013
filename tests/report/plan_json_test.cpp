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
  EXPECT_EQ(keys(json), (std::vector<std::string>{
                            "schema",   "program",        "inputs", "settings",  "piece",     "grid",
                            "bands_nm", "powders",        "sheet",  "light",     "model",     "layers",
                            "firings",  "firing_choices", "totals", "reactions", "expansion", "fidelity",
                            "effort",   "cautions",       "notes",  "seconds"}));
  EXPECT_EQ(json["schema"], 1);
  EXPECT_EQ(keys(json["layers"][0]),
            (std::vector<std::string>{"index",         "firing",     "powder", "technique",   "nest",
                                      "step",          "load_g_cm2", "amount", "stack",       "area_cm2",
                                      "expected_de00", "lands_g",    "sift_g", "overspill_g", "capture",
                                      "regions",       "stencil",    "lines",  "scratched",   "final",
                                      "after_firing",  "loose",      "why"}));
  EXPECT_EQ(json["layers"][2]["nest"], 2);
  EXPECT_EQ(json["layers"][2]["step"], 1);
  EXPECT_EQ(json["layers"][2]["amount"], "layers/03-kelp-green.png");
  EXPECT_TRUE(json["seconds"].is_object());
  EXPECT_TRUE(json["seconds"].empty());
  EXPECT_EQ(json["totals"][2]["stock_g"], nullptr);
}

TEST(PlanJson, TellsOfAMeasuredPowderHowItSpreadsAndWhatItsLoadsAreWorth) {
  PlanRecord plan = fixture::record();
  const Json before = Json::parse(plan_json(plan))["powders"];
  EXPECT_EQ(keys(before[0]), (std::vector<std::string>{"id", "name", "body", "k", "s", "grain_mm", "measured",
                                                       "expected_de00"}));
  for (Powder& powder : plan.palette.powders) {
    powder.optics.spreads = 1.25;
    powder.optics.curve = LoadCurve({{Load(0.1), Load(0.125)}, {Load(0.5), Load(0.25)}});
  }
  const Json after = Json::parse(plan_json(plan));
  EXPECT_EQ(after["powders"][0]["spreads"], 1.25);
  EXPECT_EQ(after["powders"][0]["load_curve"], Json::parse("[[0.1, 0.125], [0.5, 0.25]]"));
  EXPECT_NEAR(after["layers"][0]["loose"]["spread"].get<double>(), 1.25, 1e-12);
}

TEST(PlanJson, TellsWhatReactsAndWhatShrinksDifferently) {
  Json json = Json::parse(plan_json(fixture::record()));
  EXPECT_TRUE(json["reactions"].is_array() && json["reactions"].empty());
  EXPECT_TRUE(json["expansion"].is_array() && json["expansion"].empty());

  PlanRecord plan = fixture::record_with_reactions();
  plan.palette.powders[2].expansion_per_k = 9.2e-6;
  json = Json::parse(plan_json(plan));
  ASSERT_EQ(json["reactions"].size(), 3u);
  const Json& first = json["reactions"][0];
  EXPECT_EQ(keys(first), (std::vector<std::string>{"powders", "sheet", "chemistry", "border_mm",
                                                   "overlap_cm2", "wish", "letter"}));
  EXPECT_EQ(first["powders"], Json::array({"dune-white", "rust-red"}));
  EXPECT_EQ(first["sheet"], nullptr);
  EXPECT_EQ(first["chemistry"], Json::array({"copper"}));
  EXPECT_EQ(first["border_mm"], plan.meetings[0].border.value());
  EXPECT_EQ(first["overlap_cm2"], plan.meetings[0].overlap_cm2);
  EXPECT_GT(plan.meetings[0].overlap_cm2, 0.05);
  EXPECT_EQ(first["wish"], "avoid");
  EXPECT_EQ(first["letter"], "B");
  EXPECT_EQ(json["reactions"][1]["wish"], nullptr);
  EXPECT_EQ(json["reactions"][2]["powders"], Json::array({"dune-white"}));
  EXPECT_EQ(json["reactions"][2]["sheet"], "clear");
  EXPECT_EQ(json["reactions"][2]["letter"], "A");

  ASSERT_EQ(json["expansion"].size(), 3u);  // the red with the other two powders and the sheet
  EXPECT_EQ(json["expansion"][2]["glasses"], Json::array({"rust-red", "clear"}));
  EXPECT_NEAR(json["expansion"][2]["ppm"].get<double>(), 0.2 * 460, 1e-6);
  EXPECT_NEAR(json["expansion"][2]["stress_mpa"].get<double>(), 70'000 * 0.2e-6 * 460 / 0.8, 1e-6);
}

TEST(PlanJson, TellsWhichFiringsAreDone) {
  PlanRecord plan = fixture::record();
  plan.firings_done = 1;
  const Json json = Json::parse(plan_json(plan));
  ASSERT_EQ(json["firings"].size(), 3u);
  EXPECT_EQ(json["firings"][0]["done"], true);
  EXPECT_EQ(json["firings"][1]["done"], false);
  EXPECT_EQ(json["firings"][2]["done"], false);
}

TEST(PlanJson, TellsWhatTheFiringsCost) {
  PlanRecord plan = fixture::record();
  plan.firing_plan.places[3].raised = true;
  plan.firing_plan.proven = false;
  plan.firing_plan.least_firings = 1;
  plan.fidelity.softened_mean_de00 = 4.25;
  plan.firing_trials = {{1, 0, 1, 3.5, 3.5}, {1, 2, 2, 3, 3.25}, {2, 0, 2, 3, 3}, {3, 0, 3, 3.125, 3.125}};
  const Json json = Json::parse(plan_json(plan));
  for (std::size_t k = 0; k < plan.firing_plan.firings.size(); ++k) {
    EXPECT_FALSE(plan.firing_plan.firings[k].why.empty());
    EXPECT_EQ(json["firings"][k]["why"], plan.firing_plan.firings[k].why);
  }
  EXPECT_EQ(json["effort"]["raised"], 1);
  EXPECT_EQ(json["effort"]["firings_proven"], false);
  EXPECT_EQ(json["effort"]["least_firings"], 1);
  EXPECT_EQ(json["fidelity"]["softened_mean_de00"], 4.25);
  // Three firings are no closer than two.
  EXPECT_EQ(json["firing_choices"], Json::parse(R"([
    {"firings": 1, "raised": 0, "mean_de00": 3.5, "softened_mean_de00": 3.5},
    {"firings": 1, "raised": 2, "mean_de00": 3.0, "softened_mean_de00": 3.25},
    {"firings": 2, "raised": 0, "mean_de00": 3.0, "softened_mean_de00": 3.0}])"));
  plan.firing_trials.clear();
  EXPECT_EQ(Json::parse(plan_json(plan))["firing_choices"], Json::array());
}

TEST(PlanJson, TellsHowEachStencilIsCut) {
  PlanRecord plan = fixture::record();
  plan.layers[3].technique = Technique::fade;  // with a template
  plan.layers[2].stencil.reset();
  plan.layers[1].stencil->part = 2;
  const Json json = Json::parse(plan_json(plan));
  EXPECT_EQ(json["layers"][2]["stencil"], nullptr);
  EXPECT_EQ(json["layers"][3]["technique"], "fade");
  EXPECT_TRUE(json["layers"][3]["stencil"].is_object());
  EXPECT_EQ(json["layers"][1]["stencil"]["part"], 2);
  const Json& stencil = json["layers"][0]["stencil"];
  EXPECT_EQ(keys(stencil), (std::vector<std::string>{"raised", "step", "of", "part", "files", "border_mm",
                                                     "pins_mm", "pin_mm", "openings", "bridges", "error_cm2",
                                                     "shortest_error_cm2", "cut_mm", "cut_min", "stock",
                                                     "stock_reason", "stiff_enough", "repeats"}));
  const CutStencil& cut = *plan.layers[0].stencil;
  EXPECT_EQ(stencil["part"], nullptr);
  EXPECT_EQ(stencil["files"]["svg"], "stencils/01-dune-white.svg");
  EXPECT_EQ(stencil["files"]["dxf"], "stencils/01-dune-white.dxf");
  EXPECT_EQ(stencil["openings"], cut.stencil.openings.size());
  ASSERT_GE(cut.stencil.bridges.size(), 1u);
  ASSERT_EQ(stencil["bridges"].size(), cut.stencil.bridges.size());
  const Bridge& bridge = cut.stencil.bridges[0];
  EXPECT_EQ(stencil["bridges"][0]["error_cm2"].get<double>(), bridge.error_cm2);
  ASSERT_EQ(stencil["bridges"][0]["points_mm"].size(), bridge.middle.size());
  EXPECT_EQ(stencil["bridges"][0]["points_mm"].back(),
            Json({bridge.middle.back().x, bridge.middle.back().y}));
  EXPECT_EQ(stencil["pins_mm"].size(), 3u);
  EXPECT_EQ(stencil["stock"], std::string(cut.stock.stock.name));

  double cut_mm = 0, error = 0, shortest = 0;
  for (const std::size_t i : {0, 1, 3}) {
    cut_mm += plan.layers[i].stencil->effort.cut.value();
    error += plan.layers[i].stencil->error_cm2;
    shortest += plan.layers[i].stencil->shortest_error_cm2;
  }
  EXPECT_EQ(json["effort"]["stencils"], 3);
  EXPECT_EQ(json["effort"]["bridges"], plan.bridges);
  EXPECT_DOUBLE_EQ(json["effort"]["cut_mm"].get<double>(), cut_mm);
  EXPECT_DOUBLE_EQ(json["effort"]["bridge_error_cm2"].get<double>(), error);
  EXPECT_DOUBLE_EQ(json["effort"]["shortest_bridge_error_cm2"].get<double>(), shortest);
}

TEST(PlanJson, TellsWhereSmallTemplatesAreLaid) {
  const PlanRecord plan = fixture::record_with_repeats();
  const Json json = Json::parse(plan_json(plan));
  const Json& repeats = json["layers"][3]["stencil"]["repeats"];
  const std::vector<RepeatTemplate>& all = plan.layers[3].stencil->repeats;
  ASSERT_EQ(repeats.size(), all.size());
  ASSERT_FALSE(all.empty());
  EXPECT_EQ(repeats[0]["file"], "stencils/04-rust-red-repeat-1.svg");
  ASSERT_EQ(repeats[0]["places"].size(), all[0].repeat.places.size());
  EXPECT_EQ(repeats[0]["places"][1]["x_mm"].get<double>(), all[0].repeat.places[1].centre.x);
  EXPECT_EQ(repeats[0]["places"][1]["angle_deg"].get<double>(), all[0].repeat.places[1].angle_deg);
  EXPECT_EQ(repeats[0]["saved_mm"].get<double>(), all[0].repeat.saved_cut.value());
  ASSERT_FALSE(all[0].repeat.too_close.empty());
  ASSERT_EQ(repeats[0]["too_close"].size(), all[0].repeat.too_close.size());
  EXPECT_EQ(repeats[0]["too_close"][0], all[0].repeat.too_close[0] + 1);
}

TEST(PlanJson, TellsHowAFadeIsLaid) {
  const PlanRecord plan = fixture::record_with_fades();
  const Json json = Json::parse(plan_json(plan));
  std::size_t fades = 0;
  for (const Json& layer : json["layers"]) {
    EXPECT_EQ(layer.contains("fade"), layer["technique"] == "fade");
    if (!layer.contains("fade"))
      continue;
    ++fades;
    const Json& fade = layer["fade"];
    EXPECT_EQ(keys(fade),
              (std::vector<std::string>{"free", "hold", "edge_mm", "height_mm", "height_where_thin_mm",
                                        "full_g_cm2", "levels", "bands", "starts_mm", "direction", "edges"}));
    double grams = 0;
    for (const Json& band : fade["bands"])
      grams += band["grams"].get<double>();
    EXPECT_NEAR(grams, layer["lands_g"].get<double>(), 1e-9);
    for (const Json& level : fade["levels"])
      EXPECT_NEAR(level["load_g_cm2"].get<double>(),
                  level["share"].get<double>() * fade["full_g_cm2"].get<double>(), 1e-12);
    const bool free = fade["free"].get<bool>();
    EXPECT_EQ(free, layer["stencil"].is_null());
    EXPECT_EQ(fade["hold"], free ? "high" : "low");
    EXPECT_NEAR(fade["edge_mm"].get<double>(), free ? 24 : 8, 1e-9);
    EXPECT_EQ(fade["edges"].is_null(), free);
    EXPECT_EQ(fade["direction"]["course"], "one way");
    EXPECT_EQ(fade["direction"]["towards"].size(), 2u);
  }
  EXPECT_EQ(fades, 2u);
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
  plan.separation.choice[2].steps[0].powder = 0;  // the white once more, on top
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
