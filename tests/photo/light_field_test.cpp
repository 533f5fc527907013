#include "photo/light_field.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "property.h"

namespace powderplan {
namespace {

const CardLayout layout{{{{14, 14}, {196, 14}, {196, 134}, {14, 134}}}, {{0, 0, 210, 24}}, {}};

// A lamp above the card: light falls with the square of the distance and with the cosine.
struct Lamp {
  double x, y, height;
  LinearRgb colour;
  [[nodiscard]] LinearRgb at(PointMm p) const {
    const double d = std::hypot(p.x - x, p.y - y, height);
    const double light = 0.8 * std::pow(height / d, 3);
    return {light * colour.r, light * colour.g, light * colour.b};
  }
};

// Pieces round the border of the card and on a strip across it.
std::vector<PaperPiece> pieces_under(const auto& light, double noise) {
  std::vector<PaperPiece> pieces;
  std::mt19937 chance(9);
  std::normal_distribution<double> normal(1, noise);
  for (int y = 0; y < 74; ++y) {
    for (int x = 0; x < 105; ++x) {
      const PointMm at{x * 2.0 + 1, y * 2.0 + 1};
      if (at.x > 22 && at.x < 188 && at.y > 22 && at.y < 126 && std::abs(at.y - 74) > 4)
        continue;
      LinearRgb c = light(at);
      const double off = normal(chance);
      c = {c.r * off, c.g * off, c.b * off};
      pieces.push_back({at, c, static_cast<std::size_t>(x / 15 + 7 * (y / 15))});
    }
  }
  return pieces;
}
double furthest_off(const LightField& field, const auto& light) {
  double worst = 0;
  for (int y = 10; y < 140; y += 10) {
    for (int x = 10; x < 200; x += 10) {
      const PointMm place{static_cast<double>(x), static_cast<double>(y)};
      const LinearRgb seen = field.at(place), wanted = light(place);
      worst = std::max({worst, std::abs(seen.r / wanted.r - 1), std::abs(seen.g / wanted.g - 1),
                        std::abs(seen.b / wanted.b - 1)});
    }
  }
  return worst;
}

TEST(LightField, LampsAreMetWithinOnePercent) {
  holds_always(
      [] {
        const Lamp lamp{any_between(-100, 310),
                        any_between(-100, 250),
                        any_between(400, 900),
                        {any_between(0.8, 1.2), 1, any_between(0.7, 1.3)}};
        const auto light = [&](PointMm p) { return lamp.at(p); };
        const LightField field(pieces_under(light, 0.01), layout);
        RC_ASSERT(furthest_off(field, light) < 0.01);
      },
      25);
}

TEST(LightField, ColourOfLightMayChangeAcrossTheCard) {
  const Lamp lamp{0, 0, 600, {1.1, 1, 0.8}}, window{210, 148, 500, {0.7, 0.8, 1.0}};
  const auto light = [&](PointMm p) {
    const LinearRgb a = lamp.at(p), b = window.at(p);
    return LinearRgb{a.r + b.r, a.g + b.g, a.b + b.b};
  };
  const LightField field(pieces_under(light, 0.005), layout);
  EXPECT_LT(furthest_off(field, light), 0.01);
}

TEST(LightField, PrintAndDirtHaveNoSay) {
  const Lamp lamp{60, 20, 500, {1, 1, 1}};
  const auto light = [&](PointMm p) { return lamp.at(p); };
  std::vector<PaperPiece> pieces = pieces_under(light, 0.005);
  std::size_t spoilt = 0;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    if (pieces[i].place.x < 60 && pieces[i].place.y < 12) {  // a dark corner
      pieces[i].light = pieces[i].light.r > 0 ? LinearRgb{0.1, 0.1, 0.08} : pieces[i].light;
      ++spoilt;
    } else if (i % 17 == 0) {  // glare
      pieces[i].light = {0.95, 0.95, 0.95};
      ++spoilt;
    }
  }
  const LightField field(pieces, layout);
  EXPECT_LT(furthest_off(field, light), 0.01);
  EXPECT_NEAR(field.off(), static_cast<double>(spoilt) / static_cast<double>(pieces.size()), 0.02);
}

TEST(LightField, EvenLightIsLeftAlone) {
  const auto light = [](PointMm) { return LinearRgb{0.6, 0.7, 0.5}; };
  const LightField field(pieces_under(light, 0.01), layout);
  EXPECT_EQ(field.degree(), 0);
  EXPECT_LT(furthest_off(field, light), 0.002);
  EXPECT_LT(field.uneven(), 0.005);
}

TEST(LightField, AStepOfLightIsUneven) {
  const auto light = [](PointMm p) {
    const double level = p.x > 105 ? 0.6 : 0.8;
    return LinearRgb{level, level, level};
  };
  EXPECT_GT(LightField(pieces_under(light, 0.005), layout).uneven(), 0.01);
}

}  // namespace
}  // namespace powderplan
