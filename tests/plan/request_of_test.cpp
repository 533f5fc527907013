// What a plan was asked for, written into it in words and read back.
#include <gtest/gtest.h>

#include "plan/piece_file.h"
#include "plan/replan.h"
#include "plan/setting_samples.h"
#include "problem.h"

namespace powderplan {
namespace {

bool is_file(const Setting& setting) {
  return setting.flag == "IMAGE" || setting.flag == "--palette";
}

PlanRecord asked_with(const PlanRequest& request) {
  PlanRecord plan;
  plan.settings = settings_in_words(request);
  plan.title = request.title;
  return plan;
}

std::string message(std::vector<SettingText> settings) {
  PlanRecord plan;
  plan.settings = std::move(settings);
  try {
    request_of(plan, "heron/plan.json");
    return "";
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    return problem.what();
  }
}

TEST(RequestOf, EverySettingComesBack) {
  for (const Setting& setting : all_settings()) {
    const Sample& sample = samples().at(std::string(setting.key));
    const PlanRequest asked = parse_piece(line_of(setting, sample.toml), "piece.toml");
    const PlanRequest back = request_of(asked_with(asked), "plan.json");
    for (const Setting& other : all_settings()) {
      if (is_file(other))
        EXPECT_EQ(other.shown(back), "") << "files stay where they are";
      else
        EXPECT_EQ(other.shown(back), other.shown(asked)) << setting.key << " and " << other.key;
    }
  }
}

TEST(RequestOf, AllAtOnceToo) {
  std::map<std::string_view, std::string> tables;
  for (const Setting& setting : all_settings())
    tables[setting.table] +=
        fmt::format("{} = {}\n", setting.key, samples().at(std::string(setting.key)).toml);
  std::string toml;
  for (const auto& [table, lines] : tables)
    toml += fmt::format("[{}]\n{}", table, lines);
  const PlanRequest asked = parse_piece(toml, "piece.toml");
  const PlanRequest back = request_of(asked_with(asked), "plan.json");
  EXPECT_EQ(settings_in_words(asked).size(), all_settings().size() - 2) << "all but the two files";
  for (const Setting& setting : all_settings()) {
    if (!is_file(setting)) {
      EXPECT_EQ(setting.shown(back), samples().at(std::string(setting.key)).shown) << setting.key;
    }
  }
}

TEST(SettingsInWords, WhatIsNotSetIsNotSaid) {
  for (const SettingText& said : settings_in_words({})) {
    EXPECT_FALSE(said.value.empty()) << said.flag;
    EXPECT_NE(said.flag, "--firings") << "as few as possible is no number";
    EXPECT_NE(said.flag, "--width");
  }
}

TEST(RequestOf, TheTitleIsThePlans) {
  PlanRecord plan = asked_with({});
  plan.title = "Heron";
  EXPECT_EQ(request_of(plan, "plan.json").title, "Heron");
}

TEST(RequestOf, NamesTheSettingThatIsWrong) {
  EXPECT_EQ(message({{"--sparkle", "much"}}),
            "heron/plan.json: there is no setting --sparkle any more; make the plan again");
  EXPECT_EQ(message({{"--layers", "many"}}),
            "heron/plan.json: setting --layers: \"many\" is no number; give a number, 1 to 32");
}

}  // namespace
}  // namespace powderplan
