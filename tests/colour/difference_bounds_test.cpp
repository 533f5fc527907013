#include "colour/difference_bounds.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "colour/difference.h"
#include "property.h"

namespace powderplan {
namespace {

double any_half() {
  return any_whole(0, 4) == 0 ? 0 : any_decade_between(0.05, 8);
}

// Anywhere, and where CIEDE2000 is not smooth: on the grey axis, and with opposite hues.
struct Case {
  Lab one, two;
  ColourBox first, second;
};
Case any_case(bool second_is_a_colour) {
  const double spread = any_decade_between(0.3, 130), near = any_decade_between(0.3, 100);
  Case c;
  c.one = {any_between(-10, 110), any_between(-spread, spread), any_between(-spread, spread)};
  switch (any_whole(0, 5)) {
    case 0:
      c.one.a = c.one.b = 0;
      break;
    case 1:
      c.one.b = 0;
      break;
    default:
      break;
  }
  c.two = {c.one.l + any_between(-near, near), c.one.a + any_between(-near, near),
           c.one.b + any_between(-near, near)};
  switch (any_whole(0, 5)) {
    case 0:
      c.two.a = c.two.b = 0;
      break;
    case 1: {
      const double by = any_between(-2, 0);
      c.two.a = by * c.one.a;
      c.two.b = by * c.one.b;
      break;
    }
    default:
      break;
  }
  c.first.middle = to_quick(c.one);
  c.second.middle = to_quick(c.two);
  const auto half = [] { return static_cast<float>(any_half()); };
  c.first.half_l = half();
  c.first.half_a = half();
  c.first.half_b = half();
  if (!second_is_a_colour) {
    c.second.half_l = half();
    c.second.half_a = half();
    c.second.half_b = half();
  }
  return c;
}

// Of a box, often a corner.
Lab any_in(const Lab& middle, const ColourBox& box, Lab& from_middle) {
  const bool corner = any_whole(0, 1) == 0;
  const auto within = [&](double half) {
    return corner ? (any_whole(0, 1) == 0 ? -half : half) : any_between(-half, half);
  };
  from_middle = {within(box.half_l), within(box.half_a), within(box.half_b)};
  return {middle.l + from_middle.l, middle.a + from_middle.a, middle.b + from_middle.b};
}
Lab any_in(const Lab& middle, const ColourBox& box) {
  Lab unused;
  return any_in(middle, box, unused);
}

constexpr int cases = 4000, places = 30;

TEST(DifferenceBounds, HoldEverywhereInBothBoxes) {
  holds_always(
      [] {
        const Case c = any_case(false);
        float low = 0, high = 0;
        difference_bounds(c.first, &c.second, 1, &low, &high);
        RC_ASSERT(low >= 0 && low <= high);
        for (int i = 0; i < places; ++i) {
          const double d = ciede2000(any_in(c.one, c.first), any_in(c.two, c.second));
          RC_ASSERT(low <= d);
          RC_ASSERT(high >= d);
        }
      },
      cases);
}

// Loose bounds would only cost time, but a great deal of it.
TEST(DifferenceBounds, AreLittleWiderThanTheDifferencesAre) {
  double width = 0, spread = 0;
  holds_always(
      [&] {
        const Lab one{any_between(10, 90), any_between(15, 60), any_between(15, 60)};
        const Lab two{one.l + any_between(-8, 8), one.a + any_between(-8, 8), one.b + any_between(-8, 8)};
        const ColourBox cell{to_quick(one), 0.5F, 0.5F, 0.5F}, colour{to_quick(two)};
        float low = 0, high = 0;
        difference_bounds(cell, &colour, 1, &low, &high);
        double least = 1000, most = 0;
        for (int corner = 0; corner < 8; ++corner) {
          const auto side = [&](int bit) { return (corner >> bit & 1) == 0 ? -0.5 : 0.5; };
          const double d = ciede2000({one.l + side(0), one.a + side(1), one.b + side(2)}, two);
          least = std::min(least, d);
          most = std::max(most, d);
        }
        width += high - low;
        spread += most - least;
      },
      500);
  EXPECT_LT(width, 1.6 * spread);
}

TEST(DifferenceModels, AreWithinTheirErrorEverywhereInTheCell) {
  double most = 0;
  holds_always(
      [&] {
        const Case c = any_case(true);
        DifferenceModel m;
        difference_models(c.first, &c.second.middle, 1, &m);
        for (int i = 0; i < places; ++i) {
          Lab p;
          const double d = ciede2000(any_in(c.one, c.first, p), c.two);
          RC_ASSERT(m.low <= d && m.high >= d);
          const double square = m.square + 2 * (m.g_l * p.l + m.g_a * p.a + m.g_b * p.b) +
                                m.h_ll * p.l * p.l + m.h_aa * p.a * p.a + m.h_bb * p.b * p.b +
                                2 * m.h_ab * p.a * p.b;
          const double off = std::abs(std::sqrt(std::max(square, 0.0)) - d);
          RC_ASSERT(off <= m.error);
          most = std::max(most, off / m.error);
        }
      },
      cases);
  EXPECT_GT(most, 0.5);  // or the error says more than it must
}

TEST(DifferenceModels, OneThatIsFartherEverywhereIsSo) {
  int found = 0;
  const int tried = holds_always(
      [&] {
        const Case c = any_case(true);
        const double near = any_decade_between(0.3, 30);
        const std::array<Lab, 2> colours{
            c.two, Lab{c.one.l + any_between(-near, near), c.one.a + any_between(-near, near),
                       c.one.b + any_between(-near, near)}};
        const std::array<QuickLab, 2> quick{to_quick(colours[0]), to_quick(colours[1])};
        std::array<DifferenceModel, 2> models;
        difference_models(c.first, quick.data(), 2, models.data());
        for (const std::size_t one : {0u, 1u}) {
          if (!farther_everywhere(models[one], models[1 - one], c.first))
            continue;
          ++found;
          for (int i = 0; i < places; ++i) {
            const Lab p = any_in(c.one, c.first);
            RC_ASSERT(ciede2000(p, colours[one]) > ciede2000(p, colours[1 - one]));
          }
        }
      },
      cases);
  EXPECT_GT(found, tried / 10);
}

TEST(DifferenceModels, OfSeveralColoursAreThoseOfEach) {
  const ColourBox cell{to_quick({40, 20, -30}), 1, 2, 3};
  std::vector<QuickLab> colours;
  for (int i = 0; i < 21; ++i)
    colours.push_back(to_quick({40.0 + i, 3.0 * i, 20.0 - 4 * i}));
  std::vector<DifferenceModel> all(colours.size());
  difference_models(cell, colours.data(), colours.size(), all.data());
  std::vector<ColourBox> boxes(colours.size());
  std::vector<float> low(colours.size()), high(colours.size());
  for (std::size_t i = 0; i < colours.size(); ++i)
    boxes[i].middle = colours[i];
  difference_bounds(cell, boxes.data(), boxes.size(), low.data(), high.data());
  for (std::size_t i = 0; i < colours.size(); ++i) {
    DifferenceModel alone;
    difference_models(cell, &colours[i], 1, &alone);
    EXPECT_EQ(all[i].error, alone.error);
    EXPECT_EQ(all[i].square, alone.square);
    EXPECT_EQ(all[i].low, low[i]);
    EXPECT_EQ(all[i].high, high[i]);
  }
}

}  // namespace
}  // namespace powderplan
