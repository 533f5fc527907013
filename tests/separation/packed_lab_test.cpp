#include "separation/packed_lab.h"

#include <gtest/gtest.h>

#include "colour/difference.h"
#include "property.h"

namespace powderplan {
namespace {

TEST(PackedLab, TakesSixBytes) {
  EXPECT_EQ(sizeof(PackedLab), 6U);
}

// Half a step each way: 1/512 in L*, 1/256 in a* and b*; and so small a difference as nobody sees.
TEST(PackedLab, IsWithinHalfAStep) {
  holds_always([] {
    const LabPixel colour = to_pixel({any_between(-20, 127), any_between(-255, 255), any_between(-255, 255)});
    const LabPixel back = PackedLab(colour);
    constexpr float rounding = 1e-5F;
    RC_ASSERT(std::abs(back.l - colour.l) <= 1.0F / 512 + rounding);
    RC_ASSERT(std::abs(back.a - colour.a) <= 1.0F / 256 + rounding);
    RC_ASSERT(std::abs(back.b - colour.b) <= 1.0F / 256 + rounding);
    if (colour.l >= 0)
      RC_ASSERT(ciede2000(to_lab(colour), to_lab(back)) < 0.01);
  });
}

TEST(PackedLab, HoldsWholeNumbersExactly) {
  for (int l = 0; l <= 100; ++l) {
    const PackedLab packed(static_cast<float>(l), static_cast<float>(l - 50),
                           static_cast<float>(2 * l - 200));
    EXPECT_EQ(packed.l(), static_cast<float>(l));
    EXPECT_EQ(packed.a(), static_cast<float>(l - 50));
    EXPECT_EQ(packed.b(), static_cast<float>(2 * l - 200));
    EXPECT_EQ(PackedLab(LabPixel(packed)), packed) << "once packed it stays as it is";
  }
}

TEST(PackedLab, StopsAtTheEndsOfItsRange) {
  const PackedLab packed(500, -1000, 1e9F);
  EXPECT_NEAR(packed.l(), 128, 0.01);
  EXPECT_NEAR(packed.a(), -256, 0.01);
  EXPECT_NEAR(packed.b(), 256, 0.01);
}

TEST(PackedLab, ComesBackByRows) {
  Image<PackedLab> picture(3, 4);
  for (std::size_t i = 0; i < picture.size(); ++i)
    picture[i] = {static_cast<float>(i), 0, -static_cast<float>(i)};
  const Image<LabPixel> rows = unpacked_rows(picture, 1, 3);
  ASSERT_EQ(rows.width(), 3);
  ASSERT_EQ(rows.height(), 2);
  for (std::size_t i = 0; i < rows.size(); ++i) {
    EXPECT_EQ(rows[i].l, static_cast<float>(i + 3));
    EXPECT_EQ(rows[i].b, -static_cast<float>(i + 3));
  }
}

}  // namespace
}  // namespace powderplan
