#include "layers/make_stencil.h"

#include "parallel.h"
#include "separation/width_rule.h"
#include "stencil_judge.h"

namespace powderplan {
namespace {

constexpr Millimetres pitch{0.25};

Stencil stencil_of(const cv::Mat& mask, const StencilRules& rules) {
  const Grid grid{pitch, mask.cols, mask.rows};
  const Image<float> cost(mask.cols, mask.rows, 5.0F);
  return make_stencil(bridged(to_image(mask), cost, grid, rules), grid, rules);
}

TEST(MakeStencil, EmptyMaskIsAWholeSheetAndFullMaskAFrame) {
  const StencilRules rules;
  const Stencil whole = stencil_of(cv::Mat(80, 120, CV_8U, cv::Scalar(0)), rules);
  EXPECT_TRUE(whole.openings.empty());
  EXPECT_EQ(whole.width, Millimetres(30));
  EXPECT_EQ(whole.height, Millimetres(20));
  EXPECT_EQ(whole.border, rules.border);
  const Stencil frame = stencil_of(cv::Mat(80, 120, CV_8U, cv::Scalar(1)), rules);
  ASSERT_EQ(frame.openings.size(), 1U);
  EXPECT_NEAR(area_of(frame.openings[0]), 600, 1e-9);
  EXPECT_EQ(frame.pins, whole.pins);
}

TEST(MakeStencil, PinHolesLieInTheBorderWithAWebOnEitherSide) {
  holds_always([] {
    StencilRules rules;
    rules.border = Millimetres(any_between(8, 60));
    const double width = any_between(0.5, 600), height = any_between(0.5, 600);
    const auto pins = pin_places(Millimetres(width), Millimetres(height), rules);
    RC_ASSERT(pins.size() == 3U);
    const double edge = rules.border.value(), clear = rules.pin.value() / 2 + rules.smallest.value() - 1e-9;
    for (const PointMm& p : pins) {
      RC_ASSERT(p.x >= -edge + clear && p.x <= width + edge - clear);
      RC_ASSERT(p.y >= -edge + clear && p.y <= height + edge - clear);
      RC_ASSERT(p.x <= -clear || p.x >= width + clear || p.y <= -clear || p.y >= height + clear);
    }
  });
}

TEST(MakeStencil, NoPinsInABorderTooNarrowForThem) {
  StencilRules rules;
  rules.border = Millimetres(7.9);
  EXPECT_TRUE(pin_places(Millimetres(100), Millimetres(80), rules).empty());
}

// Turned about its middle or over, by any of the seven ways in which the sheet can still lie square, at least
// one hole misses every pin by three quarters of a pin's width; it cannot be pressed on.
TEST(MakeStencil, DoesNotFitThePinsTurnedRoundOrOver) {
  holds_always([] {
    StencilRules rules;
    rules.border = Millimetres(any_between(8, 60));
    const double width = any_between(0.5, 600);
    const double height = any_whole(0, 1) == 0 ? width : any_between(0.5, 600);
    const auto pins = pin_places(Millimetres(width), Millimetres(height), rules);
    for (int turn = 1; turn < 8; ++turn) {
      double worst = 0;
      for (const PointMm& pin : pins) {
        double x = pin.x - width / 2, y = pin.y - height / 2;
        if ((turn & 1) != 0)
          x = -x;
        if ((turn & 2) != 0)
          y = -y;
        if ((turn & 4) != 0)
          std::swap(x, y);
        double nearest = 1e9;
        for (const PointMm& other : pins)
          nearest = std::min(nearest, std::hypot(other.x - width / 2 - x, other.y - height / 2 - y));
        worst = std::max(worst, nearest);
      }
      RC_ASSERT(worst > 0.75 * rules.pin.value());
    }
  });
}

// The sheet of the polygons, sampled finely: one piece with its border, and still one piece when it loses
// from every edge nearly half of what its webs must have.
TEST(MakeStencil, TheSheetIsOnePieceAndItsWebsAreWide) {
  holds_always(
      [] {
        const int smallest = any_whole(4, 8);
        StencilRules rules;
        rules.smallest = pitch * smallest;
        rules.bridge = rules.smallest;
        rules.hold = Millimetres(any_between(8, 60));
        const cv::Mat drawn = any_stencil_mask(64);
        const cv::Mat mask =
            any_whole(0, 1) == 0 ? drawn : WidthRule(rules.smallest, pitch).shrunk_to_rule(drawn);
        const Stencil stencil = stencil_of(mask, rules);
        RC_ASSERT(simple_and_apart(stencil.openings));
        constexpr int fine = 6, margin = 60;
        const cv::Mat times = times_covered(stencil.openings, stencil.width.value(), stencil.height.value(),
                                            pitch.value() / fine, margin);
        cv::Mat sheet = times == 0;
        const auto pieces = [](const cv::Mat& m) {
          cv::Mat labels;
          return cv::connectedComponents(m, labels, 4) - 1;
        };
        RC_ASSERT(pieces(sheet) == 1);
        // A web of three quarters of the smallest width, less a grid point and twice the tolerance, still
        // holds; so losing a little less than half of that from either side leaves it in one piece.
        const double web = (smallest * 0.75 - 1) * pitch.value() - 2 * rules.tolerance.value();
        const int lost = static_cast<int>(std::floor(std::max(0.0, web) / 2 / (pitch.value() / fine))) - 1;
        if (lost > 0) {
          cv::Mat thin;
          cv::erode(sheet, thin, cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * lost + 1, 2 * lost + 1}));
          RC_ASSERT(pieces(thin) == 1);
        }
      },
      200);
}

TEST(MakeStencil, IsTheSameOnOneThread) {
  const cv::Mat mask = drawn_mask(200, 150, [](int x, int y) { return (x / 20 + y / 25) % 2 == 0; });
  const Stencil many = stencil_of(mask, {});
  const ThreadCount one(1);
  const Stencil single = stencil_of(mask, {});
  ASSERT_GT(many.openings.size(), 3U);
  EXPECT_EQ(many.openings, single.openings);
}

}  // namespace
}  // namespace powderplan
