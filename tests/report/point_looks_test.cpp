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

TEST(PointLooks, OfSeveralMomentsAreThoseOfEach) {
  const PlanRecord plan = fixture::record(60, 45);
  std::vector<Moment> moments;
  for (std::size_t k = 0; k < plan.firing_plan.firings.size(); ++k) {
    Moment moment{k, {}};
    moments.push_back(moment);
    for (const std::size_t layer : plan.firing_plan.firings[k].layers) {
      moment.loose.push_back(layer);
      moments.push_back(moment);
    }
  }
  PointLooks<Rgb8> together(plan, moments, View::wall);
  std::vector<PointLooks<Rgb8>> alone;
  for (const Moment& moment : moments)
    alone.emplace_back(plan, moment, View::wall);
  for (std::size_t i = 0; i < plan.spots.at().size(); ++i) {
    const Rgb8* const colours = together.at_all(i);
    for (std::size_t m = 0; m < moments.size(); ++m)
      ASSERT_EQ(colours[m], alone[m].at(i)) << m << ' ' << i;
  }
}

TEST(PointLooks, ShrunkTogetherAreTheRowsOfEachShrunk) {
  const PlanRecord plan = fixture::record(60, 45);
  const std::vector<Moment> moments{moment_before(plan, 0), moment_after(0), moment_finished(plan)};
  const Grid half{plan.separation.grid.pitch * 2, 30, 22};
  for (const Grid& points : {plan.separation.grid, half}) {
    const std::vector<Image<Rgb8>> together = shrunk_at(plan, moments, View::window, points, 25, 19);
    for (std::size_t m = 0; m < moments.size(); ++m) {
      const Image<Rgb8> alone = shrunk(rows_at(plan, moments[m], View::window, points), 25, 19);
      for (std::size_t i = 0; i < alone.size(); ++i)
        ASSERT_EQ(together[m][i], alone[i]) << m << ' ' << i;
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
