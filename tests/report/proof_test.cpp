#include "report/proof.h"

#include <gtest/gtest.h>

#include "report/fixture.h"

namespace powderplan {
namespace {

bool white(const Rgb8& c) {
  return c == Rgb8{255, 255, 255};
}

// ISO 216: A4 is 210 x 297 mm.
TEST(Proof, IsOnePageOfA4) {
  const Image<Rgb8> page = proof(fixture::record());
  EXPECT_NEAR(page.width() * proof_pitch.value(), 210, 0.2);
  EXPECT_NEAR(page.height() * proof_pitch.value(), 297, 0.2);
}

TEST(Proof, KeepsAMarginAndShowsSomethingInside) {
  const Image<Rgb8> page = proof(fixture::record());
  constexpr int margin = 60;
  int inked = 0;
  for (int y = 0; y < page.height(); ++y) {
    for (int x = 0; x < page.width(); ++x) {
      const bool edge = x < margin || y < margin || x >= page.width() - margin || y >= page.height() - margin;
      if (edge) {
        ASSERT_TRUE(white(page.at(x, y))) << x << ' ' << y;
      }
      inked += white(page.at(x, y)) ? 0 : 1;
    }
  }
  EXPECT_GT(inked, page.width() * page.height() / 20);
}

TEST(Proof, IsTheSameEachTime) {
  const Image<Rgb8> one = proof(fixture::record()), two = proof(fixture::record());
  for (std::size_t i = 0; i < one.size(); ++i)
    ASSERT_EQ(one[i], two[i]);
}

}  // namespace
}  // namespace powderplan
