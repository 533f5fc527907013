#include "report/point_looks.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cstdlib>

#include "report/fixture.h"

namespace powderplan {
namespace {

int codes_apart(const Rgb8& a, const Rgb8& b) {
  return std::max({std::abs(a.r - b.r), std::abs(a.g - b.g), std::abs(a.b - b.b)});
}

TEST(PointLooks, ShowWhatTheSpotsShowAtEveryMoment) {
  const PlanRecord plan = fixture::record(60, 45);
  const Image<std::uint32_t>& spots = plan.spots.at();
  for (std::size_t k = 0; k < plan.firing_plan.firings.size(); ++k) {
    for (const Moment& moment : {moment_before(plan, k), moment_after(k)}) {
      for (const View view : {View::wall, View::window}) {
        const std::vector<Rgb8> exact = spot_colours(plan, moment, view);
        PointLooks<Rgb8> looks(plan, moment, view);
        for (std::size_t i = 0; i < spots.size(); ++i)
          ASSERT_LE(codes_apart(looks.at(i), exact[spots[i]]), 1) << k << ' ' << i;
      }
    }
  }
}

TEST(PointLooks, DoNotDependOnWhatWasAskedBefore) {
  const PlanRecord plan = fixture::record(60, 45);
  const Moment moment = moment_finished(plan);
  PointLooks<Rgb8> by_rows(plan, moment, View::wall), backwards(plan, moment, View::wall);
  const Grid& grid = plan.separation.grid;
  Image<Rgb8> picture(grid.width, grid.height), threads(grid.width, grid.height);
  for (int y = 0; y < grid.height; ++y)
    by_rows.row(y, picture.row(y));
  looks_by_rows(plan, moment, View::wall, threads);
  for (std::size_t i = picture.size(); i-- > 0;) {
    ASSERT_EQ(backwards.at(i), picture[i]) << i;
    ASSERT_EQ(threads[i], picture[i]) << i;
  }
}

}  // namespace
}  // namespace powderplan
