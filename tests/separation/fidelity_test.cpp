#include "separation/fidelity.h"

#include <random>

#include "colour/difference.h"
#include "fired_picture.h"
#include "separation/separate.h"
#include "shelf.h"

namespace powderplan {
namespace {

constexpr Millimetres pitch{0.5};
const std::vector<std::size_t> all_five{white, black, red, blue, yellow};

Target target_with(const Image<PackedLab>& picture) {
  Target target;
  target.grid = {pitch, picture.width(), picture.height()};
  target.picture = target.wanted = picture;
  target.bare = Image<std::uint8_t>(picture.width(), picture.height());
  return target;
}

Image<PackedLab> flat(const Lab& lab) {
  return {40, 30, to_pixel(lab)};
}

TEST(Difference, OfTwoFlatPictures) {
  const Lab one{50, 10, 10}, other{52, 12, 8};
  const Spread spread = difference(flat(one), flat(other), Image<std::uint8_t>(40, 30));
  EXPECT_NEAR(spread.mean, ciede2000(one, other), 1e-4);
  EXPECT_NEAR(spread.p95, ciede2000(one, other), 1e-4);
}

TEST(Difference, DoesNotCountBarePoints) {
  Image<PackedLab> wanted(4, 1, {50, 0, 0}), got = wanted;
  got[3] = {90, 0, 0};
  Image<std::uint8_t> bare(4, 1);
  EXPECT_GT(difference(wanted, got, bare).mean, 5);
  bare[3] = 1;
  EXPECT_EQ(difference(wanted, got, bare).mean, 0);
  const Spread none = difference(wanted, got, Image<std::uint8_t>(4, 1, 1));
  EXPECT_EQ(none.mean, 0);
  EXPECT_EQ(none.p95, 0);
}

TEST(Difference, PercentileIsOfThePoints) {
  Image<PackedLab> wanted(100, 1, {50, 0, 0}), got = wanted;
  for (std::size_t i = 0; i < 4; ++i)
    got[i] = {90, 0, 0};
  EXPECT_EQ(difference(wanted, got, Image<std::uint8_t>(100, 1)).p95, 0);
  for (std::size_t i = 0; i < 7; ++i)
    got[i] = {90, 0, 0};
  EXPECT_GT(difference(wanted, got, Image<std::uint8_t>(100, 1)).p95, 20);
}

// A checkerboard of points against their mean in light: far away the eye sees no difference.
TEST(SeenDifference, MixesWhatTheEyeCannotPart) {
  const Xyz light = to_xyz(Lab{60, 0, 0}), dark = to_xyz(Lab{40, 0, 0});
  const Image<PackedLab> mean = flat(to_lab((light + dark) * 0.5));
  Image<PackedLab> board = mean;
  for (int y = 0; y < board.height(); ++y) {
    for (int x = 0; x < board.width(); ++x)
      board.at(x, y) = to_pixel(to_lab((x + y) % 2 == 0 ? light : dark));
  }
  const Image<std::uint8_t> bare(40, 30);
  const double plain = difference(mean, board, bare).mean;
  EXPECT_GT(plain, 5);
  for (const auto& [distance, share] :
       {std::pair{1000.0, 1.0}, {2000.0, 0.5}, {4000.0, 0.02}, {8000.0, 0.02}}) {
    EXPECT_LT(seen_difference(mean, board, bare, pitch, Millimetres(distance)), share * plain) << distance;
  }
  EXPECT_NEAR(seen_difference(mean, board, bare, pitch, Millimetres(10)), plain, 0.01);
}

TEST(SeenDifference, OfFlatPicturesIsTheirDifference) {
  const Lab one{50, 10, 10}, other{55, 12, 8};
  EXPECT_NEAR(seen_difference(flat(one), flat(other), Image<std::uint8_t>(40, 30), pitch, Millimetres(1500)),
              ciede2000(one, other), 1e-3);
}

// The blurred step has the width of one minute of arc: half of a long bar's contrast is lost where the bar is
// as wide as about a Gaussian of that width at half height.
TEST(SeenDifference, BlursByOneMinuteOfArc) {
  // At 3438 mm one minute of arc is 1 mm, so the Gaussian has a sigma of 0.4247 mm. Of a line 0.1 mm wide on
  // the perfect diffuser its middle keeps erf(0.05 / (sqrt(2) * 0.4247)) = 0.0937 of the contrast.
  constexpr Millimetres fine{0.1};
  Image<PackedLab> wanted(101, 31, to_pixel(to_lab(Xyz{white_d65 * 0.5}))), line = wanted;
  for (int y = 0; y < 31; ++y)
    line.at(50, y) = to_pixel(to_lab(Xyz{white_d65 * 0.25}));
  Image<std::uint8_t> all_but_the_line(101, 31, 1);
  for (int y = 0; y < 31; ++y)
    all_but_the_line.at(50, y) = 0;
  const double expected = ciede2000(to_lab(white_d65 * 0.5), to_lab(white_d65 * (0.5 - 0.25 * 0.0937)));
  EXPECT_NEAR(seen_difference(wanted, line, all_but_the_line, fine, Millimetres(3437.75)), expected,
              0.02 * expected);
}

Image<PackedLab> step_at(int edge) {
  Image<PackedLab> picture(120, 40, {80, 0, 0});
  for (int y = 0; y < 40; ++y) {
    for (int x = 0; x < edge; ++x)
      picture.at(x, y) = {20, 0, 0};
  }
  return picture;
}

TEST(EdgeDistance, OfAShiftedEdgeIsTheShift) {
  for (const int shift : {0, 1, 3, 10, 25})
    EXPECT_NEAR(edge_distance(step_at(40), step_at(40 + shift), pitch), shift * pitch.value(),
                0.5 * pitch.value());
}

TEST(EdgeDistance, WithoutEdgesIsZero) {
  EXPECT_EQ(edge_distance(flat({50, 0, 0}), flat({50, 0, 0}), pitch), 0);
  EXPECT_EQ(edge_distance(step_at(40), Image<PackedLab>(120, 40, {50, 0, 0}), pitch), 0);
}

TEST(FlatDifference, OfAPowdersOwnColourIsNothing) {
  const Painter painter = small_painter();
  for (const std::size_t powder : all_five) {
    const Target target = target_with(flat(painter.lab({{powder, full_load}})));
    EXPECT_LT(flat_difference(painter, all_five, target, 1), 0.01);
  }
}

TEST(FlatDifference, ReplacesEachMeanByTheNearestPowder) {
  const Painter painter = small_painter();
  Image<PackedLab> picture(10, 2);
  const Lab near_red = painter.lab({{red, full_load}}), near_white = painter.lab({{white, full_load}});
  for (int x = 0; x < 10; ++x) {
    picture.at(x, 0) = to_pixel({near_red.l + 3, near_red.a, near_red.b});
    picture.at(x, 1) = to_pixel({near_white.l - 3, near_white.a, near_white.b});
  }
  const double expected = (ciede2000({near_red.l + 3, near_red.a, near_red.b}, near_red) +
                           ciede2000({near_white.l - 3, near_white.a, near_white.b}, near_white)) /
                          2;
  EXPECT_NEAR(flat_difference(painter, all_five, target_with(picture), 2), expected, 1e-3);
  // One colour for both is far from both.
  EXPECT_GT(flat_difference(painter, all_five, target_with(picture), 1), 2 * expected);
}

TEST(FlatDifference, OfBareSheetIsNothing) {
  Target target = target_with(flat({50, 0, 0}));
  target.bare = Image<std::uint8_t>(40, 30, 1);
  EXPECT_EQ(flat_difference(small_painter(), all_five, target, 3), 0);
}

// No separation beats the bound: it may use the best label everywhere, and more.
TEST(BoundDifference, IsNoMoreThanAnyPlans) {
  const Painter painter = small_painter();
  const ShelfReach reach(painter, all_five, full_load, 2);
  holds_always(
      [&] {
        Separation separation;
        separation.grid = {pitch, 12, 9};
        separation.choice = {nest_of(white, {Load(any_decade_between(0.02, 0.5))}),
                             nest_of(red, {Load(any_decade_between(0.02, 0.5)), Load(0.1)})};
        separation.labels = all_labels(separation.choice, 2);
        separation.label_at = Image<std::uint16_t>(12, 9);
        Image<PackedLab> picture(12, 9);
        std::mt19937 random(*rc::gen::inRange(0u, 1000000u));
        for (std::size_t i = 0; i < picture.size(); ++i) {
          // On whole units, so that each colour is a cell of its own.
          picture[i] = {static_cast<float>(random() % 100), static_cast<float>(random() % 80) - 40.0F,
                        static_cast<float>(random() % 80) - 40.0F};
          separation.label_at[i] = static_cast<std::uint16_t>(random() % separation.labels.size());
        }
        const Target target = target_with(picture);
        const double plan = difference(picture, fired_picture(painter, separation), target.bare).mean;
        const double bound =
            bound_difference(reach, label_labs(painter, separation.choice, separation.labels), target);
        RC_ASSERT(bound <= plan + 1e-4);
      },
      30);
}

TEST(BoundDifference, OfALabelsOwnColourIsNothing) {
  const Painter painter = small_painter();
  const ShelfReach reach(painter, {white}, full_load, 1);
  const Lab lab = painter.lab({{blue, Load(0.123)}});
  EXPECT_LT(bound_difference(reach, {lab}, target_with(flat(lab))), 0.01);
}

}  // namespace
}  // namespace powderplan
