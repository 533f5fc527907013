#include "separation/strokes.h"

#include <algorithm>
#include <random>

#include "line_drawing.h"
#include "parallel.h"
#include "property.h"

namespace powderplan {
namespace {

constexpr double per_mm = 8, pitch = 0.25;
const Rgb8 ink{10, 10, 12};

std::vector<TrueStroke> some_strokes(Rgb8 colour) {
  return {{{{10, 10}, {70, 14}}, 1, colour},
          {{{15, 30}, {60, 50}}, 0.75, colour},
          {arc({55, 32}, 18, 9, 0, 300), 1.25, colour},
          {{{12, 20}, {20, 55}, {40, 52}}, 0.5, colour}};
}

Target drawing_of(const std::vector<TrueStroke>& strokes, Rgb8 paper = {255, 255, 255}) {
  cv::Mat sheet = sheet_of_paper(80, 60, per_mm, paper);
  draw_exactly(sheet, strokes, per_mm);
  return target_from(sheet, per_mm, pitch);
}

// Which share of the middle lines of the strokes is on, and which share of what is on lies in no stroke.
struct Hit {
  double found = 0, astray = 0;
};

Hit hit(const StrokeMap& map, const std::vector<TrueStroke>& strokes, std::uint8_t kind) {
  double on_line = 0, length = 0, on = 0, off = 0;
  for (const TrueStroke& stroke : strokes) {
    along(stroke.points, [&](const PointMm& p, std::size_t, double, double step) {
      const int x = static_cast<int>(p.x / pitch), y = static_cast<int>(p.y / pitch);
      length += step;
      on_line += map.on.at(x, y) == kind ? step : 0;
    });
  }
  for (int y = 0; y < map.on.height(); ++y) {
    for (int x = 0; x < map.on.width(); ++x) {
      if (map.on.at(x, y) == 0)
        continue;
      ++on;
      bool inside = false;
      for (const TrueStroke& stroke : strokes)
        inside = inside || distance_to({(x + 0.5) * pitch, (y + 0.5) * pitch}, stroke.points) <
                               stroke.width_mm / 2 + pitch;
      off += !inside || map.on.at(x, y) != kind ? 1 : 0;
    }
  }
  return {on_line / length, on > 0 ? off / on : 0};
}

struct Colours {
  const char* name;
  Rgb8 ink, paper;
  std::uint8_t kind;
};

class DrawnStrokes : public ::testing::TestWithParam<Colours> {};

TEST_P(DrawnStrokes, AreFoundAndTheirGroundIsThePaper) {
  const Colours& colours = GetParam();
  const std::vector<TrueStroke> strokes = some_strokes(colours.ink);
  const Target target = drawing_of(strokes, colours.paper);
  const StrokeMap map = find_strokes(target, {});
  EXPECT_GT(map.drawing_share, 0.9);
  const Hit found = hit(map, strokes, colours.kind);
  EXPECT_GT(found.found, 0.97);
  EXPECT_LT(found.astray, 0.01);
  const Lab paper = to_lab(colours.paper), wanted = to_lab(colours.ink);
  for (std::size_t i = 0; i < map.on.size(); ++i) {
    EXPECT_LT(
        std::hypot(map.ground[i].l() - paper.l, map.ground[i].a() - paper.a, map.ground[i].b() - paper.b), 3)
        << i;
    EXPECT_TRUE(map.ground_bare.empty() || map.ground_bare[i] == 0);
  }
  // Where a stroke is wide enough to have its full colour somewhere, that is its ink.
  double off = 0, count = 0;
  for (std::size_t i = 0; i < map.on.size(); ++i) {
    if (map.on[i] != 0) {
      off += std::hypot(map.ink[i].l() - wanted.l, map.ink[i].a() - wanted.a, map.ink[i].b() - wanted.b);
      ++count;
    }
  }
  EXPECT_LT(off / count, 6);
}

INSTANTIATE_TEST_SUITE_P(Colours, DrawnStrokes,
                         ::testing::Values(Colours{"black_on_white", {0, 0, 0}, {255, 255, 255}, 1},
                                           Colours{"white_on_black", {255, 255, 255}, {0, 0, 0}, 2},
                                           Colours{"red_on_white", {190, 30, 30}, {255, 255, 255}, 1},
                                           Colours{"yellow_on_blue", {230, 200, 40}, {30, 50, 120}, 2},
                                           // Of one lightness: nothing to see in lightness.
                                           Colours{"red_on_green", {200, 30, 30}, {76, 111, 57}, 1}),
                         [](const auto& one) { return std::string(one.param.name); });

TEST(FindStrokes, EqualLightnessIsEqual) {
  EXPECT_NEAR(to_lab(Rgb8{200, 30, 30}).l, to_lab(Rgb8{76, 111, 57}).l, 1);
}

TEST(FindStrokes, OnBareSheetAndOutOfIt) {
  // Drawn on nothing; the sheet looks like the ink, so that only the picture's transparency tells.
  for (const double sheet : {100.0, 0.0}) {
    FittedPicture fitted;
    fitted.grid = {Millimetres(pitch), 200, 120};
    fitted.pixels = Image<LinearPixel>(200, 120, {0, 0, 0, 0});
    for (int x = 20; x < 180; ++x) {
      for (int y = 60; y < 64; ++y)
        fitted.pixels.at(x, y) = {0, 0, 0, 1};
    }
    const Target target = target_of(fitted);
    StrokeRules rules;
    rules.sheet = {sheet, 0, 0};
    const StrokeMap map = find_strokes(target, rules);
    EXPECT_EQ(map.on.at(100, 61), 1) << sheet;
    EXPECT_EQ(map.on.at(100, 50), 0);
    EXPECT_EQ(map.ground_bare.at(100, 61), 1);
    EXPECT_LT(map.ink.at(100, 61).l(), 1);
    // And the reverse: a bare line in black.
    for (std::size_t i = 0; i < fitted.pixels.size(); ++i)
      fitted.pixels[i].alpha = 1 - fitted.pixels[i].alpha;
    const StrokeMap scratched = find_strokes(target_of(fitted), rules);
    EXPECT_EQ(scratched.on.at(100, 61), 2) << sheet;
    EXPECT_EQ(scratched.ground_bare.at(100, 61), 0);
  }
}

// What is as wide as the rule is for stencils, what is narrower is not.
TEST(FindStrokes, WidthDecides) {
  for (const double width : {0.3, 0.6, 1.0, 1.5, 1.8}) {
    const std::vector<TrueStroke> strokes{{{{10, 20}, {70, 40}}, width, ink}};
    EXPECT_GT(hit(find_strokes(drawing_of(strokes), {}), strokes, 1).found, 0.97) << width;
  }
  for (const double width : {2.4, 3.0, 4.5, 8.0}) {
    const std::vector<TrueStroke> strokes{{{{10, 20}, {70, 40}}, width, ink}};
    EXPECT_LT(hit(find_strokes(drawing_of(strokes), {}), strokes, 1).found, 0.02) << width;
  }
}

// A line that swells in its middle to 1.5 times the rule is one line; a bar of that width with a hair on it
// is not.
TEST(FindStrokes, SwellingStaysWithItsLine) {
  const std::vector<TrueStroke> thin{{{{8, 30}, {72, 30}}, 1, ink}}, thick{{{{34, 30}, {44, 30}}, 3, ink}};
  std::vector<TrueStroke> both = thin;
  both.insert(both.end(), thick.begin(), thick.end());
  EXPECT_GT(hit(find_strokes(drawing_of(both), {}), thin, 1).found, 0.97);
  StrokeRules no_swelling;
  no_swelling.swelling = 1;
  EXPECT_LT(hit(find_strokes(drawing_of(both), no_swelling), thick, 1).found, 0.1);

  const std::vector<TrueStroke> hair{{{{8, 30}, {20, 30}}, 1, ink}}, bar{{{{22, 30}, {72, 30}}, 3, ink}};
  std::vector<TrueStroke> barred = hair;
  barred.insert(barred.end(), bar.begin(), bar.end());
  const StrokeMap map = find_strokes(drawing_of(barred), {});
  EXPECT_GT(hit(map, hair, 1).found, 0.8);
  EXPECT_LT(hit(map, bar, 1).found, 0.05);
}

TEST(FindStrokes, SolidAreasStayAndLinesReachThem) {
  cv::Mat sheet = sheet_of_paper(80, 60, per_mm);
  cv::rectangle(sheet, {static_cast<int>(40 * per_mm), static_cast<int>(10 * per_mm)},
                {static_cast<int>(75 * per_mm), static_cast<int>(50 * per_mm)}, scalar_of(ink), -1);
  draw_exactly(sheet, {{{{5, 30}, {45, 30}}, 1, ink}}, per_mm);
  const StrokeMap map = find_strokes(target_from(sheet, per_mm, pitch), {});
  EXPECT_EQ(map.on.at(80, 120), 1);
  EXPECT_EQ(map.on.at(240, 120), 0) << "inside the solid area";
  EXPECT_LT(map.ground.at(240, 120).l(), 5);
  // Along the line there is no point that belongs neither to it nor to the solid area.
  for (int x = 21; x < 240; ++x)
    EXPECT_TRUE(map.on.at(x, 120) == 1 || map.ground.at(x, 120).l() < 5) << x;
}

TEST(FindStrokes, DustIsNoStroke) {
  std::vector<TrueStroke> dust = some_strokes(ink);
  const std::size_t strokes = dust.size();
  for (int i = 0; i < 12; ++i)
    dust.push_back({{{8.0 + 5.5 * i, 4}, {9.0 + 5.5 * i, 4.4}}, 0.8, ink});
  const StrokeMap map = find_strokes(drawing_of(dust), {});
  for (std::size_t i = strokes; i < dust.size(); ++i) {
    const PointMm& p = dust[i].points[0];
    EXPECT_EQ(map.on.at(static_cast<int>(p.x / pitch), static_cast<int>(p.y / pitch)), 0) << i;
  }
}

TEST(FindStrokes, HatchingIsLinesAndNotGaps) {
  std::vector<TrueStroke> hatch;
  for (int i = 0; i < 20; ++i)
    hatch.push_back({{{12 + i * 1.8, 10}, {30 + i * 1.8, 50}}, 0.75, ink});
  const Hit found = hit(find_strokes(drawing_of(hatch), {}), hatch, 1);
  EXPECT_GT(found.found, 0.97);
  EXPECT_LT(found.astray, 0.01);
}

// Blotches with an extent of some points, everywhere, with hairs of their own contrast among them: no
// drawing.
TEST(FindStrokes, TextureIsNoDrawing) {
  std::mt19937 random(7);
  cv::Mat sheet = sheet_of_paper(80, 60, 2, {128, 128, 128});
  for (int y = 0; y < sheet.rows; ++y) {
    for (int x = 0; x < sheet.cols; ++x) {
      const auto code = static_cast<std::uint8_t>(80 + random() % 96);
      sheet.at<cv::Vec3b>(y, x) = {code, code, code};
    }
  }
  const StrokeMap map = find_strokes(target_from(sheet, 2, pitch), {});
  EXPECT_LT(map.drawing_share, 0.3);
  for (std::size_t i = 0; i < map.on.size(); ++i)
    EXPECT_EQ(map.on[i], 0);
}

// Thin pale lines on grainy paper, which a look at half the sharpness sees worst.
TEST(FindStrokes, WhatIsDrawnEnoughIsNotOverlooked) {
  StrokeRules at_full_sharpness;
  at_full_sharpness.least_drawing_share = 1e-9;
  int drawings = 0;
  const int tried = holds_always(
      [&] {
        const auto code = static_cast<std::uint8_t>(any_whole(60, 215));
        const double width = any_whole(20, 60) / 100.0;
        const int grain = any_whole(0, 4);
        cv::Mat sheet = sheet_of_paper(80, 60, per_mm, {250, 250, 250});
        std::vector<TrueStroke> strokes = some_strokes({code, code, code});
        for (TrueStroke& stroke : strokes)
          stroke.width_mm = width;
        draw_exactly(sheet, strokes, per_mm);
        Target target = target_from(sheet, per_mm, pitch);
        std::mt19937 random(static_cast<unsigned>(code));
        for (std::size_t i = 0; i < target.wanted.size(); ++i) {
          LabPixel grainy = target.wanted[i];
          grainy.l += static_cast<float>(grain) * (static_cast<float>(random() % 1000) / 1000 - 0.5F);
          target.wanted[i] = grainy;
        }
        const StrokeMap found = find_strokes(target, at_full_sharpness);
        if (found.drawing_share < StrokeRules{}.least_drawing_share)
          return;
        ++drawings;
        const StrokeMap map = find_strokes(target, {});
        RC_ASSERT(map.drawing_share == found.drawing_share);
        RC_ASSERT(std::equal(map.on.data(), map.on.data() + map.on.size(), found.on.data()));
      },
      12);
  EXPECT_GT(drawings, tried / 4);
}

TEST(FindStrokes, ARefusedPictureIsLeftAlone) {
  StrokeRules rules;
  rules.least_drawing_share = 1.01;
  const Target target = drawing_of(some_strokes(ink));
  const StrokeMap map = find_strokes(target, rules);
  EXPECT_GT(map.drawing_share, 0.9);
  for (std::size_t i = 0; i < map.on.size(); ++i) {
    EXPECT_EQ(map.on[i], 0);
    EXPECT_EQ(map.ground[i].l(), target.wanted[i].l());
  }
}

TEST(FindStrokes, NothingInAnEvenOrEmptyPicture) {
  for (const auto& [width, height] : {std::pair{0, 0}, {1, 1}, {1, 40}, {40, 1}, {60, 60}}) {
    for (const float l : {0.0F, 50.0F, 100.0F}) {
      Target target;
      target.grid = {Millimetres(pitch), width, height};
      target.picture = target.wanted = Image<PackedLab>(width, height, {l, 0, 0});
      target.bare = Image<std::uint8_t>(width, height);
      const StrokeMap map = find_strokes(target, {});
      EXPECT_EQ(map.drawing_share, 0);
      for (std::size_t i = 0; i < map.on.size(); ++i)
        EXPECT_EQ(map.on[i], 0);
    }
  }
}

TEST(FindStrokes, AnyPictureEndsAndKeepsItsPromises) {
  holds_always(
      [] {
        Target target;
        const int width = any_whole(1, 60), height = any_whole(1, 60);
        target.grid = {Millimetres(any_between(0.1, 0.8)), width, height};
        target.picture = Image<PackedLab>(width, height, {80, 0, 0});
        target.bare = Image<std::uint8_t>(width, height);
        std::mt19937 random(static_cast<unsigned>(any_whole(0, 100000)));
        for (int lines = any_whole(0, 8); lines > 0; --lines) {
          const bool level = random() % 2 == 0;
          const int at = static_cast<int>(random() % 60), wide = static_cast<int>(random() % 6) + 1;
          const LabPixel colour{static_cast<float>(random() % 100), static_cast<float>(random() % 90) - 45,
                                0};
          for (int y = 0; y < height; ++y) {
            for (int x = 0; x < width; ++x) {
              if ((level ? y : x) >= at && (level ? y : x) < at + wide) {
                target.picture.at(x, y) = colour;
                target.bare.at(x, y) = lines == 3 ? 1 : 0;
              }
            }
          }
        }
        target.wanted = target.picture;
        StrokeRules rules;
        rules.least_drawing_share = 0;
        const StrokeMap map = find_strokes(target, rules);
        RC_ASSERT(map.drawing_share >= 0 && map.drawing_share <= 1);
        for (std::size_t i = 0; i < map.on.size(); ++i) {
          RC_ASSERT(map.on[i] <= 2);
          RC_ASSERT(map.on[i] == 0 || map.cover[i] >= 128);
        }
      },
      100);
}

TEST(FindStrokes, IsTheSameWithOneThread) {
  const Target target = drawing_of(some_strokes(ink), {240, 225, 200});
  const StrokeMap many = find_strokes(target, {});
  const ThreadCount one(1);
  const StrokeMap single = find_strokes(target, {});
  for (std::size_t i = 0; i < many.on.size(); ++i) {
    ASSERT_EQ(many.on[i], single.on[i]);
    ASSERT_EQ(many.cover[i], single.cover[i]);
    ASSERT_EQ(many.ground[i].l(), single.ground[i].l());
  }
}

TEST(StrokesOfKind, PicksOne) {
  StrokeMap map;
  map.on = Image<std::uint8_t>(3, 1);
  map.on[1] = 1;
  map.on[2] = 2;
  EXPECT_EQ(strokes_of_kind(map, 1)[1], 1);
  EXPECT_EQ(strokes_of_kind(map, 1)[2], 0);
  EXPECT_EQ(strokes_of_kind(map, 2)[2], 1);
}

}  // namespace
}  // namespace powderplan
