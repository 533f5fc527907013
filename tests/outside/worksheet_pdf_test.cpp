// How many pages there are, told by another program (pdfinfo of poppler-utils).
#include "report/worksheet_pdf.h"

#include <gtest/gtest.h>

#include <fstream>
#include <string>

#include "outside/programs.h"
#include "report/fixture.h"
#include "report/temporary_folder.h"

namespace powderplan {
namespace {

std::vector<std::uint8_t> made(const PlanRecord& plan) {
  return worksheet_pdf(plan, worksheet_pictures(plan));
}

int pages_of(const std::vector<std::uint8_t>& pdf) {
  const TemporaryFolder place;
  const std::string file = (place.path() / "worksheet.pdf").string();
  std::ofstream(file, std::ios::binary)
      .write(reinterpret_cast<const char*>(pdf.data()), static_cast<std::streamsize>(pdf.size()));
  const std::string told = testing::output_of("pdfinfo '" + file + "'"), mark = "Pages:";
  const std::size_t at = told.find(mark);
  EXPECT_NE(at, std::string::npos) << told;
  return at == std::string::npos ? 0 : std::stoi(told.substr(at + mark.size()));
}

TEST(WorksheetPdf, IsTheSameEveryTime) {
  const PlanRecord plan = fixture::record_with_fades();
  EXPECT_EQ(made(plan), made(plan));
}

TEST(WorksheetPdf, HasAPageForEveryStepAndFiringThatIsStillToCome) {
  PlanRecord plan = fixture::record();
  const int whole = pages_of(made(plan));
  EXPECT_GE(whole, static_cast<int>(plan.layers.size() + plan.firing_plan.firings.size() + 3));
  plan.firings_done = 1;
  const int left = pages_of(made(plan));
  EXPECT_EQ(whole - left, static_cast<int>(plan.firing_plan.firings[0].layers.size() + 1));
}

// From a strip to a tower, on every paper: nothing of it is refused.
TEST(WorksheetPdf, TakesPiecesOfAnyShape) {
  for (const auto& [width, height] : {std::pair{40, 160}, {200, 24}, {64, 64}}) {
    PlanRecord plan = fixture::record(width, height);
    for (const Paper& paper : papers) {
      plan.paper = paper;
      EXPECT_GT(pages_of(made(plan)), static_cast<int>(plan.layers.size()))
          << width << " by " << height << " on " << paper.name;
    }
  }
}

TEST(WorksheetPdf, APlanWithoutLayersHasItsFirstPages) {
  PlanRecord plan = fixture::record();
  plan.layers.clear();
  plan.firing_plan = {};
  plan.weights = {};
  plan.spots = Spots(plan.layers, plan.separation.grid.width, plan.separation.grid.height);
  EXPECT_EQ(pages_of(made(plan)), 2);
}

}  // namespace
}  // namespace powderplan
