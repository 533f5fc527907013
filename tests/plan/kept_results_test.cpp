#include "plan/kept_results.h"

#include <gtest/gtest.h>

#include <set>

#include "places.h"
#include "plan/flag_answer.h"
#include "plan/pipeline.h"
#include "report/plan_json.h"
#include "report/temporary_folder.h"
#include "setting_samples.h"

namespace powderplan {
namespace {

PlanRequest small_plan() {
  PlanRequest request;
  request.image = testing::source_folder() + "/examples/avocet-window/picture.png";
  request.palettes = {testing::source_folder() + "/palettes/marsh-full.toml"};
  request.size.width = Millimetres(60);
  request.pitch = Millimetres(1);
  request.most_layers = 3;
  return request;
}

PlanRequest with(PlanRequest request, const Setting& setting, const std::string& value) {
  setting.take(FlagAnswer(std::string(setting.flag), {value}, setting.repeats), request);
  return request;
}

std::string planned(PlanRequest request, const std::optional<std::filesystem::path>& kept) {
  request.kept = kept;
  return plan_json(make_plan(request));
}

TEST(KeptResults, NothingIsKeptWhereNoFolderIsNamed) {
  const KeptResults none(small_plan(), {});
  int made = 0, value = 0;
  for (int time = 0; time < 2; ++time)
    none.fill(
        KeptStep::base, "", [&] { value = ++made; }, value);
  EXPECT_EQ(value, 2);
}

TEST(KeptResults, AreFoundByStepNameSettingsAndInputs) {
  const TemporaryFolder folder;
  PlanRequest request = small_plan();
  request.kept = folder.path();
  const std::vector<InputFile> inputs{
      {"image", "a.png", "1"}, {"palette", "p.toml", "2"}, {"piece", "p", "3"}};
  const auto filled = [&](const PlanRequest& asked, const std::vector<InputFile>& from, KeptStep step,
                          const std::string& which, int fresh) {
    int value = 0;
    KeptResults(asked, from)
        .fill(
            step, which, [&] { value = fresh; }, value);
    return value;
  };
  EXPECT_EQ(filled(request, inputs, KeptStep::nests, "1", 1), 1);
  EXPECT_EQ(filled(request, inputs, KeptStep::nests, "1", 2), 1);
  EXPECT_EQ(filled(request, inputs, KeptStep::nests, "2", 3), 3);
  EXPECT_EQ(filled(request, inputs, KeptStep::layers, "1", 4), 4);
  PlanRequest other = request;
  other.title = "Another";
  other.threads = 1;
  EXPECT_EQ(filled(other, inputs, KeptStep::nests, "1", 5), 1) << "a title changes no layer";
  other.smallest = Millimetres(3);
  EXPECT_EQ(filled(other, inputs, KeptStep::nests, "1", 6), 6);
  other = request;
  other.dear = {{"creek-black", 2.0}};
  EXPECT_EQ(filled(other, inputs, KeptStep::nests, "1", 7), 7);
  for (std::size_t changed = 0; changed < 2; ++changed) {
    std::vector<InputFile> from = inputs;
    from[changed].sha256 += "x";
    EXPECT_EQ(filled(request, from, KeptStep::nests, "1", 8), 8) << from[changed].role;
  }
  std::vector<InputFile> renamed = inputs;
  renamed[0].name = "b.png";
  renamed[2].sha256 = "other settings in the piece file are told by the settings";
  EXPECT_EQ(filled(request, renamed, KeptStep::nests, "1", 9), 1);
}

// The lists of settings that do not matter to a step are claims: a plan with another value, made on what a
// plan without it has kept, is the plan made from nothing.
TEST(KeptResults, APlanOnWhatWasKeptIsThePlanMadeFromNothing) {
  const TemporaryFolder folder;
  const std::string plain = planned(small_plan(), std::nullopt);
  EXPECT_EQ(planned(small_plan(), folder.path()), plain);
  EXPECT_EQ(planned(small_plan(), folder.path()), plain) << "the second time from the folder";
  std::set<std::string_view> flags;
  for (const KeptStep step : {KeptStep::base, KeptStep::nests, KeptStep::separation, KeptStep::layers,
                              KeptStep::judgement, KeptStep::pictures})
    for (const std::string_view flag : no_matter_to(step))
      flags.insert(flag);
  flags.erase("--within-stock");  // plans several times, by prices
  for (const std::string_view flag : flags) {
    const Setting* const setting = setting_of_flag(flag);
    ASSERT_NE(setting, nullptr) << flag;
    const std::string& value = samples().at(std::string(setting->key)).shown;
    const PlanRequest changed = with(small_plan(), *setting, value);
    EXPECT_EQ(planned(changed, folder.path()), planned(changed, std::nullopt)) << flag << ' ' << value;
  }
}

// Settings that stand on no list: what was kept for another value is not taken.
TEST(KeptResults, SettingsThatMatterAreNotServedFromTheFolder) {
  const TemporaryFolder folder;
  const std::string plain = planned(small_plan(), folder.path());
  for (const auto& [flag, value] :
       std::vector<std::pair<std::string_view, std::string>>{{"--layers", "2"},
                                                             {"--smallest-mm", "3"},
                                                             {"--without", "deep-channel"},
                                                             {"--base", "white"},
                                                             {"--backing", "#404048"},
                                                             {"--finish", "contour"},
                                                             {"--techniques", "stencil"},
                                                             {"--range", "keep"}}) {
    const Setting* const setting = setting_of_flag(flag);
    ASSERT_NE(setting, nullptr) << flag;
    const PlanRequest changed = with(small_plan(), *setting, value);
    const std::string fresh = planned(changed, std::nullopt);
    EXPECT_NE(fresh, plain) << flag;
    EXPECT_EQ(planned(changed, folder.path()), fresh) << flag << ' ' << value;
  }
  PlanRequest dear = small_plan();
  dear.dear = {{"creek-black", 4.0}};
  EXPECT_EQ(planned(dear, folder.path()), planned(dear, std::nullopt));
}

// The steps after the layers are told apart by these.
TEST(KeptResults, FingerprintsTellPiecesAndRulesApart) {
  const PlanRecord plan = make_plan(small_plan());
  const std::string same = fingerprint_of_piece(plan);
  const auto changed = [&](const auto& change) {
    PlanRecord other = plan;
    change(other);
    return fingerprint_of_piece(other);
  };
  EXPECT_EQ(changed([](PlanRecord& p) { p.title = "Another"; }), same);
  EXPECT_NE(changed([](PlanRecord& p) { p.layers[0].amount[7] ^= 1; }), same);
  EXPECT_NE(changed([](PlanRecord& p) { p.layers[0].load += Load(0.001); }), same);
  EXPECT_NE(changed([](PlanRecord& p) { p.layers.back().lines.emplace(); }), same);
  EXPECT_NE(changed([](PlanRecord& p) { p.firing_plan.firings[0].flow += Millimetres(0.01); }), same);
  EXPECT_NE(changed([](PlanRecord& p) { p.firing_plan.places[0].raised ^= true; }), same);
  EXPECT_NE(changed([](PlanRecord& p) { p.separation.choice[0].steps[0].load += Load(0.001); }), same);

  SeparationRules rules;
  const std::string rule = fingerprint_of_rules(rules);
  const auto ruled = [&](const auto& change) {
    SeparationRules other = rules;
    change(other);
    return fingerprint_of_rules(other);
  };
  EXPECT_NE(ruled([](SeparationRules& r) { r.limits.most_nests = 2; }), rule);
  EXPECT_NE(ruled([](SeparationRules& r) { r.limits.in_firing.push_back({0, 1}); }), rule);
  EXPECT_NE(ruled([](SeparationRules& r) { r.limits.pairs.push_back({0, 1, 2.0}); }), rule);
  EXPECT_NE(ruled([](SeparationRules& r) { r.limits.heat = {1}; }), rule);
  EXPECT_NE(ruled([](SeparationRules& r) { r.choice.emplace(); }), rule);
  EXPECT_NE(ruled([](SeparationRules& r) { r.quick = true; }), rule);
}

}  // namespace
}  // namespace powderplan
