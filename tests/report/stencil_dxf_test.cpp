#include "report/stencil_dxf.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "stencils.h"

namespace powderplan {
namespace {

using Group = std::pair<int, std::string>;

std::vector<Group> groups_of(const std::string& dxf) {
  std::vector<Group> groups;
  std::istringstream lines(dxf);
  std::string code, value;
  while (std::getline(lines, code) && std::getline(lines, value)) {
    EXPECT_EQ(code.back(), '\r');
    EXPECT_EQ(value.back(), '\r');
    value.pop_back();
    groups.emplace_back(std::stoi(code), value.substr(value.find_first_not_of(' ')));
  }
  return groups;
}

std::size_t count_of(const std::vector<Group>& groups, const Group& group) {
  return static_cast<std::size_t>(std::count(groups.begin(), groups.end(), group));
}

TEST(StencilDxf, StandsUpwardsFromTheSheetsLowerLeftCorner) {
  Stencil stencil = fixture::sheet(60, 40, 12.5);
  stencil.openings = {{{10, 20}, {30, 20}, {30, 25.25}}};
  const std::vector<Group> groups = groups_of(stencil_dxf(stencil));
  std::vector<std::pair<double, double>> corners;
  for (std::size_t i = 0; i + 3 < groups.size(); ++i) {
    if (groups[i] == Group{0, "VERTEX"} && groups[i + 1] == Group{8, "openings"})
      corners.emplace_back(std::stod(groups[i + 2].second), std::stod(groups[i + 3].second));
  }
  // 65 mm high, 12.5 mm of it below the piece.
  EXPECT_EQ(corners, (std::vector<std::pair<double, double>>{{22.5, 32.5}, {42.5, 32.5}, {42.5, 27.25}}));
}

TEST(StencilDxf, IsRelease12WithClosedLinesOnNamedLayers) {
  const std::string dxf = stencil_dxf(fixture::trial_stencil(60, 40));
  EXPECT_TRUE(std::all_of(dxf.begin(), dxf.end(), [](char c) { return c >= 0 && c < 127; }));
  const std::vector<Group> groups = groups_of(dxf);
  EXPECT_EQ(count_of(groups, {1, "AC1009"}), 1U);
  EXPECT_EQ(count_of(groups, {0, "POLYLINE"}), 5U);
  EXPECT_EQ(count_of(groups, {0, "SEQEND"}), 5U);
  EXPECT_EQ(count_of(groups, {0, "CIRCLE"}), 3U);
  EXPECT_EQ(count_of(groups, {0, "SECTION"}), count_of(groups, {0, "ENDSEC"}));
  EXPECT_EQ(count_of(groups, {0, "TABLE"}), count_of(groups, {0, "ENDTAB"}));
  for (const char* layer : {"openings", "pins", "sheet"})
    EXPECT_EQ(count_of(groups, {2, layer}), 1U) << layer;
  EXPECT_EQ(groups.back(), (Group{0, "EOF"}));
}

TEST(StencilDxf, OpeningsWithoutAreaAreLeftOut) {
  Stencil stencil = fixture::sheet(10, 10);
  stencil.openings = {{}, {{1, 1}}, {{1, 1}, {1.0002, 1}, {5, 1}}};
  EXPECT_EQ(count_of(groups_of(stencil_dxf(stencil)), {0, "POLYLINE"}), 1U);
}

}  // namespace
}  // namespace powderplan
