// A plan in panels: its files, what its pages say, and that it can be read back.
#include "report/panel_files.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "csv_table.h"
#include "report/files.h"
#include "report/fixture.h"
#include "report/panel_drawing.h"
#include "report/panel_words.h"
#include "report/plan_folder.h"
#include "report/plan_json.h"
#include "report/plan_reader.h"
#include "report/proof_words.h"
#include "report/temporary_folder.h"
#include "report/worksheet.h"

namespace powderplan {
namespace {

namespace fs = std::filesystem;

const PlanRecord& panels() {
  static const PlanRecord plan = fixture::record_in_panels();
  return plan;
}

std::size_t times_in(const std::string& text, const std::string& words) {
  std::size_t count = 0;
  for (std::size_t at = text.find(words); at != std::string::npos; at = text.find(words, at + 1))
    ++count;
  return count;
}

TEST(PanelFiles, TheFixtureIsCutOnceAcrossAndOnceInEachHalf) {
  ASSERT_EQ(panels().panels.panels.size(), 4U);
  EXPECT_EQ(panels().panels.cuts.size(), 3U);
}

TEST(PanelFiles, TheFolderHoldsWhatThePlanNames) {
  const TemporaryFolder at;
  const fs::path folder = at.path() / "plan";
  write_plan_folder(panels(), folder, false);
  const auto plan = nlohmann::json::parse(std::ifstream(folder / "plan.json"));
  ASSERT_EQ(plan["panels"].size(), 4U);
  std::size_t stencils = 0, without = 0;
  for (const auto& panel : plan["panels"]) {
    EXPECT_TRUE(fs::exists(folder / std::string(panel["folder"]) / "templates.pdf"));
    for (const auto& layer : panel["layers"]) {
      if (layer["stencil"].is_null()) {
        ++without;
        EXPECT_LT(layer["lands_g"], 0.01) << "no opening, and powder";
        continue;
      }
      ++stencils;
      EXPECT_TRUE(fs::exists(folder / std::string(layer["stencil"])));
    }
  }
  EXPECT_EQ(stencils, 11U);
  EXPECT_EQ(without, 5U);
  // The whole stencils stay.
  EXPECT_TRUE(fs::exists(folder / "stencils" / "01-dune-white.svg"));
  EXPECT_TRUE(fs::exists(folder / "panels" / "grams.csv"));
  // A plan folder with panels is known for one.
  EXPECT_NO_THROW(write_plan_folder(panels(), folder, true));

  const PlanRecord read = read_plan(folder, panels().palette);
  EXPECT_EQ(read.panels.panels, panels().panels.panels);
  ASSERT_EQ(read.panels.cuts.size(), 3U);
  EXPECT_EQ(read.panels.cuts[2].to, panels().panels.cuts[2].to);
  EXPECT_EQ(read.panels.crossed, panels().panels.crossed);
  EXPECT_TRUE(crossings_in_words(read.panels).ends_with(" of colour")) << crossings_in_words(read.panels);
}

TEST(PanelFiles, LinesAreDrawnForEachPanelTheyLieIn) {
  PlanRecord plan = fixture::record_with_lines();  // 32 x 24 mm
  plan.panels.panels = {{0, 0, {0, 0, 16, 48}}, {0, 1, {16, 0, 64, 48}}};
  plan.weights = weigh(plan.separation, plan.layers, plan.palette, plan.weigh_rules, 0, plan.panels.panels);
  const TemporaryFolder at;
  write_plan_folder(plan, at.path() / "plan", false);
  const auto json = nlohmann::json::parse(std::ifstream(at.path() / "plan" / "plan.json"));
  const auto& first = json["panels"][0]["layers"];
  const auto& second = json["panels"][1]["layers"];
  // The lines lie on both sides of the cut at 8 mm, what is scratched to its right.
  EXPECT_TRUE(fs::exists(at.path() / "plan" / std::string(first.back()["lines"])));
  EXPECT_TRUE(fs::exists(at.path() / "plan" / std::string(second.back()["lines"])));
  EXPECT_TRUE(first[0]["scratched"].is_null());
  EXPECT_TRUE(fs::exists(at.path() / "plan" / std::string(second[0]["scratched"])));
}

TEST(PanelFiles, WithoutPanelsThereIsNoWordOfThem) {
  const PlanRecord whole = fixture::record();
  const auto plan = nlohmann::json::parse(plan_json(whole));
  EXPECT_FALSE(plan.contains("panels"));
  EXPECT_FALSE(plan.contains("panel_cuts"));
  const std::string page = worksheet(whole, std::string(64, '0'));
  EXPECT_EQ(page.find("page-panels"), std::string::npos);
  EXPECT_EQ(page.find("class=\"panels\""), std::string::npos);
  EXPECT_EQ(proof_words(whole).by_hand.find("panel"), std::string::npos);
  const TemporaryFolder at;
  write_plan_folder(whole, at.path() / "plan", false);
  EXPECT_FALSE(fs::exists(at.path() / "plan" / "panels"));
}

TEST(PanelFiles, GramsAddUpToThoseOfTheLayers) {
  const std::string csv = panel_grams_csv(panels());
  EXPECT_TRUE(csv.starts_with(
      "kind,panel,left_mm,top_mm,width_mm,height_mm,firing,layer,powder,name,lands_g,sift_g,overspill_g\r\n"
      "layer,panel-1,0,0,"));
  EXPECT_EQ(times_in(csv, "\r\nlayer,"), 4U * panels().layers.size());
  EXPECT_EQ(times_in(csv, "\r\npowder,"), 4U * panels().weights.totals.size());
  EXPECT_EQ(times_in(csv, "\"'@Kelp, \"\"green\"\"\""), 4U * 3) << "two layers and the powder";
  for (std::size_t i = 0; i < panels().layers.size(); ++i) {
    Grams lands;
    for (const auto& panel : panels().weights.panels)
      lands += panel[i].lands;
    EXPECT_NEAR(lands.value(), panels().layers[i].load.value() * panels().layers[i].amount_cm2, 1e-9);
  }
}

TEST(PanelFiles, TemplatesAreOfThePanelAndShowWhichItIs) {
  const std::vector<StencilTemplate> pages = panel_templates(panels(), 3);
  ASSERT_EQ(pages.size(), 4U);
  EXPECT_EQ(pages[0].name, "Panel 4: 1 Dune White");
  ASSERT_TRUE(pages[0].panel);
  EXPECT_EQ(pages[0].panel->number, 4U);
  EXPECT_EQ(pages[0].panel->all.size(), 4U);
  EXPECT_EQ(pages[0].stencil.width.value(), pages[0].panel->all[3].right - pages[0].panel->all[3].left);
  EXPECT_FALSE(pages[0].stencil.marks.empty());
}

TEST(PanelFiles, TheBenchPageSaysWhatIsCutAndWhatEachPanelIsLoadedWith) {
  const std::string page = worksheet(panels(), std::string(64, '0'));
  EXPECT_EQ(times_in(page, "id=\"page-panels\""), 1U);
  EXPECT_NE(page.find("cut into <b>4 panels</b>, each fired by itself: <b>12 kiln loads</b>"),
            std::string::npos);
  EXPECT_NE(page.find("larger than the kiln’s shelf (140 × 120 mm, 10 mm of it left free"),
            std::string::npos);
  EXPECT_NE(page.find(crossings_in_words(panels().panels)), std::string::npos);
  // Cuts lie over the opening picture and that of every step.
  EXPECT_EQ(times_in(page, "<g class=\"panels\""), 1 + panels().layers.size());
  EXPECT_EQ(times_in(page, "<b>Panel by panel</b>"), panels().layers.size());
  EXPECT_EQ(times_in(page, "Weigh out for all panels"), panels().layers.size());
  EXPECT_NE(page.find("there is some on all 4 panels."), std::string::npos);
  EXPECT_NE(page.find("there is some on 2 of 4 panels."), std::string::npos);
  EXPECT_NE(page.find("The joins will be seen as fine lines"), std::string::npos);
  EXPECT_NE(page.find("Cut glass is sharp"), std::string::npos);
  EXPECT_EQ(times_in(page, "One panel at a time, 4 times"), panels().firing_plan.firings.size());
  EXPECT_NE(page.find("Sheets cut to the sizes of page “Panels”"), std::string::npos);
}

TEST(PanelFiles, ManyPanelsAreNotAllNamedOnEveryStep) {
  PlanRecord plan = fixture::record_in_panels();
  const GridBox whole = {0, 0, 448, 288};
  plan.panels = {};
  for (int i = 0; i < 32; ++i)
    plan.panels.panels.push_back(
        {0, static_cast<std::size_t>(i), {whole.right / 32 * i, 0, whole.right / 32 * (i + 1), 288}});
  plan.weights = weigh(plan.separation, plan.layers, plan.palette, plan.weigh_rules, 0, plan.panels.panels);
  const std::string page = worksheet(plan, std::string(64, '0'));
  EXPECT_NE(page.find("; the others stand on page “Panels”."), std::string::npos);
}

TEST(PanelFiles, TheClientIsToldOfTheJoins) {
  EXPECT_NE(proof_words(panels()).by_hand.find("It is made in 4 panels that are set side by side: the joins"),
            std::string::npos);
}

TEST(PanelWords, SizesAndPlaces) {
  EXPECT_EQ(panel_name(0), "panel-1");
  EXPECT_EQ(panel_folder(11), "panels/panel-12");
  EXPECT_EQ(panel_mm(312), "312");
  EXPECT_EQ(panel_mm(312.26), "312.3");
  EXPECT_EQ(size_in_words({10, 20, 30.5, 45}), "20.5 × 25 mm");
  const PanelCut down{{112, 0}, {112, 144}, 3}, level{{0, 64}, {112, 64}, 1};
  EXPECT_EQ(way_in_words(down), "from top to bottom");
  EXPECT_EQ(place_in_words(down), "112 mm from the left edge");
  EXPECT_EQ(way_in_words(level), "from left to right");
  EXPECT_EQ(place_in_words(level), "64 mm from the top edge");
}

}  // namespace
}  // namespace powderplan
