#include "photo/field_reading.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "colour/difference.h"
#include "problem.h"

namespace powderplan {
namespace {

FieldPiece piece_of(const LinearRgb& light) {
  FieldPiece piece;
  piece.light = light;
  piece.colour = to_xyz(light);
  return piece;
}
const LinearRgb rust{0.35, 0.09, 0.04};

// Grains: pieces differ in lightness, each by its own chance, some by much.
Image<FieldPiece> grainy(int width, int height, double spread, std::uint32_t seed = 3) {
  std::mt19937 chance(seed);
  std::normal_distribution<double> normal(0, spread);
  Image<FieldPiece> pieces(width, height);
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    const double f = std::exp(normal(chance) - spread * spread / 2);
    pieces[i] = piece_of({rust.r * f, rust.g * f, rust.b * f});
  }
  return pieces;
}
void add_glare(Image<FieldPiece>& pieces, double x0, double y0, double radius, double light) {
  for (int y = 0; y < pieces.height(); ++y) {
    for (int x = 0; x < pieces.width(); ++x) {
      const double d = std::hypot(x - x0, y - y0) / radius, g = light * std::exp(-d * d / 2);
      const LinearRgb c = pieces.at(x, y).light;
      pieces.at(x, y) = piece_of({c.r + g, c.g + g, c.b + g});
      pieces.at(x, y).clipped = c.r + g > 1.1;
    }
  }
}
double off(const FieldReading& reading, const LinearRgb& wanted = rust) {
  return ciede2000(to_lab(to_xyz(wanted)), to_lab(reading.colour));
}

TEST(FieldReading, TheMeanOverGrainsIsWanted) {
  for (std::uint32_t seed = 0; seed < 20; ++seed) {
    const FieldReading reading = reading_of(grainy(8, 20, 0.15, seed), "cell", "photo");
    EXPECT_GT(reading.used, 0.97) << "seed " << seed;
    EXPECT_LT(off(reading), 1.0) << "seed " << seed;
    EXPECT_GT(reading.unevenness, 1);
  }
}

TEST(FieldReading, ASingleBrightPieceIsGrain) {
  Image<FieldPiece> pieces = grainy(8, 20, 0.03);
  pieces.at(3, 7) = piece_of({0.5, 0.22, 0.17});
  EXPECT_EQ(reading_of(pieces, "cell", "photo").used, 1);
}

TEST(FieldReading, GlareIsLeftOut) {
  for (const double light : {0.15, 0.5, 1.5}) {
    Image<FieldPiece> pieces = grainy(8, 20, 0.02);
    add_glare(pieces, 2, 5, 1.5, light);
    const FieldReading reading = reading_of(pieces, "cell", "photo");
    EXPECT_LT(reading.used, 0.97) << light;
    EXPECT_LT(off(reading), 0.6) << light;
    double sum = 0;
    for (std::size_t i = 0; i < pieces.size(); ++i)
      sum += pieces[i].colour.y / static_cast<double>(pieces.size());
    EXPECT_GT(sum, 1.05 * to_xyz(rust).y) << "the glare is worth leaving out";
  }
}

TEST(FieldReading, DirtIsLeftOut) {
  Image<FieldPiece> pieces = grainy(8, 20, 0.02);
  for (int y = 3; y < 6; ++y) {
    for (int x = 2; x < 5; ++x)
      pieces.at(x, y) = piece_of({0.02, 0.03, 0.05});
  }
  const FieldReading reading = reading_of(pieces, "cell", "photo");
  EXPECT_DOUBLE_EQ(reading.used, 1 - 9.0 / 160);
  EXPECT_LT(off(reading), 0.3);
}

std::string refusal_of(const Image<FieldPiece>& pieces) {
  try {
    const FieldReading reading = reading_of(pieces, "cell 3 on the dark ground", "photo.jpg");
    return "read with " + std::to_string(reading.used);
  } catch (const Problem& problem) {
    EXPECT_EQ(problem.kind(), ProblemKind::input);
    EXPECT_EQ(problem.place(), "photo.jpg");
    return problem.wrong();
  }
}

TEST(FieldReading, TooLittleLeftIsRefused) {
  Image<FieldPiece> glared = grainy(8, 20, 0.02);
  add_glare(glared, 4, 9, 2.4, 0.6);
  EXPECT_TRUE(refusal_of(glared).starts_with("glare covers")) << refusal_of(glared);

  Image<FieldPiece> clipped = grainy(8, 20, 0.02), outside = clipped;
  for (std::size_t i = 0; i < 100; ++i) {
    clipped[i].clipped = true;
    outside[i].outside = true;
  }
  EXPECT_EQ(refusal_of(clipped), "62 % of cell 3 on the dark ground is clipped");
  EXPECT_EQ(refusal_of(outside), "62 % of cell 3 on the dark ground lies outside the photo");
}

// Half on the one colour, half on another: the glass does not lie in its place.
TEST(FieldReading, TwoColoursAreRefused) {
  Image<FieldPiece> pieces = grainy(8, 20, 0.02);
  for (std::size_t i = 0; i < pieces.size(); i += 2)
    pieces[i] = piece_of({0.1, 0.3, 0.5});
  const std::string refusal = refusal_of(pieces);
  EXPECT_TRUE(refusal.find("is not one colour") != std::string::npos ||
              refusal.find("of another colour") != std::string::npos)
      << refusal;
}

TEST(FieldReading, WideGlareShowsAsASlope) {
  Image<FieldPiece> pieces = grainy(8, 20, 0.02);
  add_glare(pieces, -4, -4, 12, 0.25);
  EXPECT_NE(refusal_of(pieces).find("cell 3"), std::string::npos) << refusal_of(pieces);
}

}  // namespace
}  // namespace powderplan
