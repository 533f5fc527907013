#include "report/bench_page_data.h"

#include <gtest/gtest.h>
#include <webp/decode.h>

#include <nlohmann/json.hpp>

#include "report/fixture.h"

namespace powderplan {
namespace {

TEST(BenchPageData, NothingInItCanEndAScript) {
  const std::string text = "</script><!-- & \xe2\x80\xa8\xe2\x80\xa9 \xe2\x80\xa7";
  const nlohmann::json json = {{"text", text}};
  const std::string safe = fit_for_script(json.dump());
  EXPECT_EQ(safe.find_first_of("<>&"), std::string::npos);
  EXPECT_EQ(safe.find("\xe2\x80\xa8"), std::string::npos);
  EXPECT_EQ(safe.find("\xe2\x80\xa9"), std::string::npos);
  EXPECT_EQ(nlohmann::json::parse(safe)["text"], text);
}

TEST(PointMaps, AreNoLargerThanAPhoneHolds) {
  for (const auto& [width, height] : {std::pair{1, 1}, {1600, 1200}, {300, 4000}, {5000, 200}, {800, 600}}) {
    const Grid grid{Millimetres(0.25), width, height}, map = point_map_grid(grid);
    EXPECT_LE(map.width, widest_point_map);
    EXPECT_LE(map.width * map.height, most_map_points);
    EXPECT_NEAR(map.pitch.value() * map.width, grid.pitch.value() * grid.width, 1e-9);
    EXPECT_LE(map.width, width);
    EXPECT_LE(map.height, height);
  }
  const Grid small{Millimetres(0.5), 640, 480};
  EXPECT_EQ(point_map_grid(small), small);
}

// The picture behind a "data:" address.
Image<Rgb8> decoded(const std::string& address) {
  const std::string begin = "data:image/webp;base64,";
  EXPECT_TRUE(address.starts_with(begin));
  std::vector<std::uint8_t> bytes;
  std::uint32_t bits = 0;
  int held = 0;
  const std::string letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  for (std::size_t i = begin.size(); i < address.size() && address[i] != '='; ++i) {
    bits = bits << 6 | static_cast<std::uint32_t>(letters.find(address[i]));
    held += 6;
    if (held >= 8) {
      held -= 8;
      bytes.push_back(static_cast<std::uint8_t>(bits >> held & 0xFF));
    }
  }
  int width = 0, height = 0;
  EXPECT_NE(WebPGetInfo(bytes.data(), bytes.size(), &width, &height), 0);
  Image<Rgb8> picture(width, height);
  EXPECT_NE(WebPDecodeRGBInto(bytes.data(), bytes.size(), reinterpret_cast<std::uint8_t*>(picture.data()),
                              picture.size() * sizeof(Rgb8), width * 3),
            nullptr);
  return picture;
}

// Each point of a map is true of the grid point in its middle.
TEST(PointMaps, TellWhatLiesAtOneGridPoint) {
  PlanRecord plan = fixture::record(1200, 90, Millimetres(0.5));
  const PointMaps maps = point_maps(plan);
  ASSERT_EQ(maps.grid.width, 800);
  ASSERT_EQ(maps.grid.height, 60);
  const Image<Rgb8> final = fired_preview(plan, View::wall), window = fired_preview(plan, View::window);
  const Image<Rgb8> wall_map = decoded(maps.wall), window_map = decoded(maps.window),
                    aim = decoded(maps.target);
  std::vector<Image<Rgb8>> amounts;
  for (const std::string& address : maps.amounts)
    amounts.push_back(decoded(address));
  std::vector<std::uint64_t> sums(amounts.size());
  for (std::size_t p = 0; p < wall_map.size(); ++p) {
    const std::size_t point = middle_of(p, maps.grid, plan.separation.grid);
    ASSERT_EQ(wall_map[p], final[point]);
    ASSERT_EQ(window_map[p], window[point]);
    ASSERT_EQ(aim[p], plan.target[point]);
    for (std::size_t i = 0; i < amounts.size(); ++i) {
      ASSERT_NEAR(amounts[i][p].r / 255.0, plan.layers[i].amount[point] / 255.0, 1e-9);
      ASSERT_EQ(amounts[i][p].r == 0, plan.layers[i].amount[point] == 0);
      sums[i] += amounts[i][p].r;
    }
  }
  EXPECT_EQ(sums, maps.sums);
}

}  // namespace
}  // namespace powderplan
