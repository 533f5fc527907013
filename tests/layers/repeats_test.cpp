#include "layers/repeats.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <numbers>

#include "layers/outline_match.h"
#include "layers/shape_measures.h"
#include "parallel.h"
#include "property.h"
#include "stencils.h"

namespace powderplan {
namespace {

using fixture::lobed;

double between(double a, double b) {
  return std::abs(std::remainder(a - b, 360));
}

PolygonMm mirrored(PolygonMm shape) {
  for (PointMm& p : shape)
    p.x = 400 - p.x;
  return shape;
}

// Each point moved outwards or inwards by up to this much.
PolygonMm jagged(const PolygonMm& shape, double most) {
  const PointMm middle = centre_of(shape);
  PolygonMm out;
  for (const PointMm& p : shape) {
    const double r = std::hypot(p.x - middle.x, p.y - middle.y), way = any_between(-most, most) / r;
    out.push_back({p.x + (p.x - middle.x) * way, p.y + (p.y - middle.y) * way});
  }
  return out;
}

TEST(Repeats, TurnedCopiesAreFoundWithPlaceAndAngle) {
  holds_always(
      [] {
        const int lobes = any_whole(2, 6);
        const double radius = any_between(8, 25), depth = any_between(0.05, 0.3),
                     lean = any_between(0.1, 0.2);
        std::vector<PolygonMm> openings;
        std::vector<double> angles;
        for (int i = 0; i < 4; ++i) {
          angles.push_back(any_between(-180, 180));
          // Each begins somewhere else and every other one runs the other way round.
          PolygonMm shape = lobed({i * 100.0, 50.0 + 7 * i}, radius, lobes, depth, angles.back(), lean);
          std::rotate(shape.begin(), shape.begin() + any_whole(0, 159), shape.end());
          if (i % 2 == 1)
            std::reverse(shape.begin(), shape.end());
          openings.push_back(shape);
        }
        const std::vector<Repeat> repeats = find_repeats(openings, {});
        RC_ASSERT(repeats.size() == 1U);
        RC_ASSERT(repeats[0].places.size() == 4U);
        for (std::size_t i = 0; i < 4; ++i) {
          const RepeatPlace& place = repeats[0].places[i];
          RC_ASSERT(place.opening == i);
          RC_ASSERT(place.distance < RepeatRules{}.tolerance.value());
          // The small template laid there covers the opening: nearly all of one lies near the other.
          const PolygonMm laid = placed(repeats[0].shape, place.centre, place.angle_deg);
          RC_ASSERT(std::abs(centre_of(laid).x - centre_of(openings[i]).x) < 0.3);
          RC_ASSERT(std::abs(centre_of(laid).y - centre_of(openings[i]).y) < 0.3);
          // Shapes this uneven have one turn only, to within what the tolerance allows at their rim.
          const double slack = RepeatRules{}.tolerance.value() / (lean * radius) * 180 / std::numbers::pi;
          RC_ASSERT(between(place.angle_deg, angles[i] - angles[0]) < slack);
        }
      },
      40);
}

TEST(Repeats, TheDistanceIsTheLargestBetweenTheOutlines) {
  const auto pose = pose_on(match_outline(lobed({0, 0}, 10, 1, 0)),
                            match_outline(lobed({70, 40}, 10.2, 1, 0)), Millimetres(0.25), true);
  ASSERT_TRUE(pose);
  EXPECT_NEAR(pose->distance, 0.2, 0.005);
  EXPECT_NEAR(pose->centre.x, 70, 1e-3);
  EXPECT_FALSE(pose_on(match_outline(lobed({0, 0}, 10, 1, 0)), match_outline(lobed({70, 40}, 10.2, 1, 0)),
                       Millimetres(0.15), true));
}

TEST(Repeats, ASmallNotchCountsByItsDepth) {
  const PolygonMm plain = fixture::box_shape(0, 0, 30, 20);
  const PolygonMm notched{{0, 0}, {14, 0}, {15, 0.8}, {16, 0}, {30, 0}, {30, 20}, {0, 20}};
  EXPECT_FALSE(pose_on(match_outline(plain), match_outline(notched), Millimetres(0.6), true));
  const auto pose = pose_on(match_outline(plain), match_outline(notched), Millimetres(0.9), true);
  ASSERT_TRUE(pose);
  EXPECT_GT(pose->distance, 0.7);
  EXPECT_LT(pose->distance, 0.81);
}

TEST(Repeats, MirrorImagesAreAnotherShape) {
  const std::vector<PolygonMm> openings{lobed({50, 50}, 15, 3, 0.2, 0, 0.2),
                                        lobed({150, 50}, 15, 3, 0.2, 40, 0.2),
                                        lobed({250, 50}, 15, 3, 0.2, 200, 0.2),
                                        mirrored(lobed({50, 150}, 15, 3, 0.2, 0, 0.2)),
                                        mirrored(lobed({150, 150}, 15, 3, 0.2, 40, 0.2)),
                                        mirrored(lobed({250, 150}, 15, 3, 0.2, 80, 0.2))};
  const std::vector<Repeat> repeats = find_repeats(openings, {});
  ASSERT_EQ(repeats.size(), 2U);
  EXPECT_EQ(repeats[0].places.size(), 3U);
  EXPECT_EQ(repeats[0].places[2].opening, 2U);
  EXPECT_EQ(repeats[1].places[0].opening, 3U);
}

TEST(Repeats, SymmetricShapesMatchInWhateverPose) {
  for (const int lobes : {2, 3, 4, 5, 6, 8}) {
    std::vector<PolygonMm> openings;
    for (int i = 0; i < 5; ++i)
      openings.push_back(lobed({i * 80.0, 40}, 16, lobes, 0.2, 23.0 * i));
    const std::vector<Repeat> repeats = find_repeats(openings, {});
    ASSERT_EQ(repeats.size(), 1U) << lobes;
    ASSERT_EQ(repeats[0].places.size(), 5U) << lobes;
    // Turned by this much, the flanks of the lobes, which rise by `steep` mm a mm, are the tolerance apart.
    const double steep = 0.2 * lobes;
    const double slack =
        RepeatRules{}.tolerance.value() / 16 * std::hypot(1, steep) / steep * 180 / std::numbers::pi;
    for (std::size_t i = 0; i < 5; ++i)
      EXPECT_NEAR(
          std::remainder(repeats[0].places[i].angle_deg - 23.0 * static_cast<double>(i), 360.0 / lobes), 0,
          slack)
          << lobes;
  }
}

TEST(Repeats, WhatFitsUnturnedIsNotTurned) {
  std::vector<PolygonMm> openings;
  for (int i = 0; i < 4; ++i)
    openings.push_back(lobed({i * 60.0, 40}, 12, 1, 0, 17.0 * i));
  openings.push_back(fixture::box_shape(0, 100, 20, 120));
  openings.push_back(fixture::box_shape(50, 100, 70, 120));
  openings.push_back(fixture::box_shape(100, 100, 120, 120));
  const std::vector<Repeat> repeats = find_repeats(openings, {});
  ASSERT_EQ(repeats.size(), 2U);
  for (const Repeat& repeat : repeats) {
    for (const RepeatPlace& place : repeat.places)
      EXPECT_EQ(place.angle_deg, 0);
  }
}

TEST(Repeats, OnRequestOnlyTheSamePoseCounts) {
  std::vector<PolygonMm> openings;
  for (const double turn : {0, 0, 0, 30, 90})
    openings.push_back(lobed({static_cast<double>(openings.size()) * 60, 40}, 15, 3, 0.25, turn));
  RepeatRules rules;
  rules.turned = false;
  const std::vector<Repeat> repeats = find_repeats(openings, rules);
  ASSERT_EQ(repeats.size(), 1U);
  EXPECT_EQ(repeats[0].places.size(), 3U);
  EXPECT_EQ(find_repeats(openings, {})[0].places.size(), 5U);
}

TEST(Repeats, UnevenEdgesWithinTheToleranceAreTheSameShape) {
  holds_always(
      [] {
        std::vector<PolygonMm> openings;
        for (int i = 0; i < 4; ++i)
          openings.push_back(jagged(lobed({i * 90.0, 50}, 18, 5, 0.25, any_between(-180, 180), 0.1), 0.08));
        const std::vector<Repeat> repeats = find_repeats(openings, {});
        RC_ASSERT(repeats.size() == 1U);
        RC_ASSERT(repeats[0].places.size() == 4U);
      },
      30);
}

TEST(Repeats, OtherSizesFewPlacesAndDotsAreLeftOut) {
  std::vector<PolygonMm> openings;
  for (int i = 0; i < 6; ++i)
    openings.push_back(lobed({i * 10.0, 5}, 1, 1, 0));  // dots of 2 mm
  for (int i = 0; i < 5; ++i)
    openings.push_back(lobed({i * 70.0, 40}, 14 + i, 4, 0.2));
  openings.push_back(lobed({50, 150}, 20, 3, 0.2));
  openings.push_back(lobed({150, 150}, 20, 3, 0.2, 50));
  EXPECT_TRUE(find_repeats(openings, {}).empty());
  RepeatRules rules;
  rules.least_places = 2;
  const std::vector<Repeat> two = find_repeats(openings, rules);
  ASSERT_EQ(two.size(), 1U);
  EXPECT_EQ(two[0].places[1].opening, 12U);
  EXPECT_TRUE(find_repeats({}, {}).empty());
  EXPECT_TRUE(find_repeats({{}, {{0, 0}}, {{0, 0}, {90, 0}, {180, 0}}}, {}).empty());
}

TEST(Repeats, SavesTheCutsOfAllButOne) {
  std::vector<PolygonMm> openings;
  for (int i = 0; i < 5; ++i)
    openings.push_back(fixture::box_shape(i * 80.0, 0, i * 80.0 + 30, 20));
  EXPECT_NEAR(find_repeats(openings, {})[0].saved_cut.value(), 4 * 100, 1e-9);
}

TEST(Repeats, NeighboursBelowTheSmallTemplateAreToldOf) {
  // Boxes 20 wide with gaps of 40, 14 and 40 mm: with a margin of 15, the second and the third reach each
  // other.
  std::vector<PolygonMm> openings;
  for (const double left : {0.0, 60.0, 94.0, 154.0})
    openings.push_back(fixture::box_shape(left, 0, left + 20, 20));
  EXPECT_EQ(find_repeats(openings, {})[0].too_close, (std::vector<std::size_t>{1, 2}));
  RepeatRules narrow;
  narrow.margin = Millimetres(13.9);
  EXPECT_TRUE(find_repeats(openings, narrow)[0].too_close.empty());
  // An opening of another shape counts as well.
  openings.push_back(fixture::box_shape(158, 30, 161, 33));
  EXPECT_EQ(find_repeats(openings, narrow)[0].too_close, (std::vector<std::size_t>{3}));
}

TEST(Repeats, TheTemplateIsTurnedWithItsPlace) {
  // A bar 60 x 10, level twice and upright once; a dot 20 mm to the right of its middle is below the level
  // bar's template only.
  std::vector<PolygonMm> openings{fixture::box_shape(0, 0, 60, 10), fixture::box_shape(200, 0, 260, 10),
                                  fixture::box_shape(425, -25, 435, 35)};
  openings.push_back(lobed({30 + 20, 12}, 1, 1, 0));
  openings.push_back(lobed({430 + 22, 5}, 1, 1, 0));
  const std::vector<Repeat> repeats = find_repeats(openings, {});
  ASSERT_EQ(repeats.size(), 1U);
  EXPECT_NEAR(std::abs(repeats[0].places[2].angle_deg), 90, 0.1);
  EXPECT_EQ(repeats[0].too_close, (std::vector<std::size_t>{0}));
}

TEST(Repeats, TheSmallTemplateIsAStencilWithMarksOnItsAxes) {
  std::vector<PolygonMm> openings;
  for (int i = 0; i < 3; ++i)
    openings.push_back(lobed({i * 90.0, 50}, 18, 5, 0.25, 20.0 * i, 0.1));
  const RepeatRules rules;
  const Repeat repeat = find_repeats(openings, rules)[0];
  const Stencil stencil = small_template(repeat, rules);
  const BoxMm box = box_of(stencil.openings.at(0));
  EXPECT_NEAR(box.left, 0, 1e-9);
  EXPECT_NEAR(box.top, 0, 1e-9);
  EXPECT_NEAR(box.right, stencil.width.value(), 1e-9);
  EXPECT_NEAR(box.bottom, stencil.height.value(), 1e-9);
  EXPECT_EQ(stencil.border, rules.margin);
  const PointMm centre = centre_of(stencil.openings[0]);
  ASSERT_EQ(stencil.pins.size(), 5U);
  EXPECT_NEAR(stencil.pins[0].x, centre.x, 1e-9);
  EXPECT_NEAR(stencil.pins[2].y, centre.y, 1e-9);
  EXPECT_NEAR(stencil.pins[3].x, centre.x, 1e-9);
  EXPECT_NEAR(stencil.pins[4].y, centre.y, 1e-9);
}

TEST(Repeats, AreTheSameOnAnyNumberOfThreads) {
  std::vector<PolygonMm> openings;
  for (int i = 0; i < 30; ++i) {
    const int across = i % 6, down = i / 6;
    openings.push_back(lobed({across * 90.0, down * 90.0}, 18, 3 + i % 3, 0.25, 37.0 * i, 0.1));
  }
  const auto run = [&](unsigned threads) {
    const ThreadCount count(threads);
    return find_repeats(openings, {});
  };
  const std::vector<Repeat> one = run(1), four = run(4);
  ASSERT_EQ(one.size(), 3U);
  ASSERT_EQ(four.size(), one.size());
  for (std::size_t i = 0; i < one.size(); ++i) {
    ASSERT_EQ(four[i].places.size(), one[i].places.size());
    for (std::size_t k = 0; k < one[i].places.size(); ++k) {
      EXPECT_EQ(four[i].places[k].centre, one[i].places[k].centre);
      EXPECT_EQ(four[i].places[k].angle_deg, one[i].places[k].angle_deg);
    }
  }
}

}  // namespace
}  // namespace powderplan
