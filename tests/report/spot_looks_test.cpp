#include "report/spot_looks.h"

#include <gtest/gtest.h>

#include "colour/observer.h"
#include "report/field_record.h"

namespace powderplan {
namespace {

TEST(SpotLooks, TheirMeanIsWhatTheModelPredicts) {
  const Load thin(0.006), some(0.012), heavy(0.3);
  const PlanRecord plan = field_record({{{0, thin}, {2, some}},
                                        {{0, heavy}, {2, thin}, {1, some}},
                                        {{2, thin}, {0, thin}, {1, thin}, {2, some}, {0, some}, {1, thin}},
                                        {}},
                                       Finish::tack);
  for (const View view : {View::wall, View::window}) {
    const std::vector<std::uint8_t> all(plan.spots.count(), 1);
    const SpotLooks looks(plan, moment_finished(plan), view, all);
    const Observer observer(light_of(plan));
    for (std::size_t spot = 0; spot < plan.spots.count(); ++spot) {
      std::vector<double> shares{1};
      for (const CoatLook& coat : looks.coats(spot)) {
        if (!coat.grains)
          continue;
        const std::size_t before = shares.size();
        for (std::size_t i = 0; i < before; ++i) {
          shares.push_back(shares[i] * static_cast<double>(coat.cover));
          shares[i] -= shares.back();
        }
      }
      Light3 mean;
      for (std::size_t i = 0; i < shares.size(); ++i)
        mean = mean + looks.colours(spot)[i] * static_cast<float>(shares[i]);
      const LinearRgb expected =
          to_linear_rgb(observer(seen(ground_of(plan, view), stack_at(plan, spot, moment_finished(plan)))));
      EXPECT_NEAR(mean.r, expected.r, 2e-4) << spot;
      EXPECT_NEAR(mean.g, expected.g, 2e-4) << spot;
      EXPECT_NEAR(mean.b, expected.b, 2e-4) << spot;
    }
  }
}

TEST(SpotLooks, OnlyThinCoatsAreDrawnByGrains) {
  const PlanRecord plan = field_record({{{0, Load(0.3)}, {2, Load(0.006)}}}, Finish::tack);
  const std::vector<std::uint8_t> all(plan.spots.count(), 1);
  const SpotLooks looks(plan, moment_finished(plan), View::wall, all);
  ASSERT_EQ(looks.coats(0).size(), 2u);
  EXPECT_FALSE(looks.coats(0)[0].grains);
  EXPECT_TRUE(looks.coats(0)[1].grains);
  EXPECT_FALSE(looks.grained()[0]);
  EXPECT_TRUE(looks.grained()[1]);
}

TEST(SpotLooks, LeavesOutWhatIsNotWanted) {
  const PlanRecord plan = field_record({{{0, Load(0.01)}}, {{2, Load(0.01)}}}, Finish::tack);
  const std::vector<std::uint8_t> second{0, 1};
  const SpotLooks looks(plan, moment_finished(plan), View::wall, second);
  EXPECT_TRUE(looks.coats(0).empty());
  EXPECT_EQ(looks.coats(1).size(), 1u);
}

}  // namespace
}  // namespace powderplan
