#include "colour/quick_difference.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "colour/difference.h"
#include "property.h"

namespace powderplan {
namespace {

Lab any_lab() {
  const double l = any_between(0, 100), a = any_between(-120, 120), b = any_between(-120, 120);
  return {l, a, b};
}

float quick(const Lab& one, const Lab& other) {
  const auto f = [](double v) { return static_cast<float>(v); };
  const float l1 = f(one.l), a1 = f(one.a), b1 = f(one.b), l2 = f(other.l), a2 = f(other.a), b2 = f(other.b);
  float difference = -1;
  quick_ciede2000({&l1, &a1, &b1}, {&l2, &a2, &b2}, &difference, 1);
  return difference;
}

void expect_alike(const Lab& one, const Lab& other) {
  const double exact = ciede2000(one, other);
  RC_ASSERT(std::abs(static_cast<double>(quick(one, other)) - exact) <=
            quick_ciede2000_error * std::max(1.0, exact));
}

bool nearly_opposite(const Lab& one, const Lab& other) {
  const double apart = std::abs(std::atan2(one.b, one.a) - std::atan2(other.b, other.a));
  return std::abs(apart - std::numbers::pi) < 0.001;
}

TEST(QuickCiede2000, IsTheDifference) {
  holds_always(
      [] {
        const Lab one = any_lab(), other = any_lab();
        RC_PRE(!nearly_opposite(one, other));
        expect_alike(one, other);
      },
      5000);
}

TEST(QuickCiede2000, OfColoursThatAreNear) {
  holds_always(
      [] {
        const Lab one = any_lab();
        const double dl = any_between(-3, 3), da = any_between(-3, 3), db = any_between(-3, 3);
        const Lab other{one.l + dl, one.a + da, one.b + db};
        RC_PRE(!nearly_opposite(one, other));
        expect_alike(one, other);
      },
      5000);
}

TEST(QuickCiede2000, OfGreys) {
  holds_always([] {
    const double l = any_between(0, 100), other = any_between(0, 100);
    expect_alike({l, 0, 0}, {other, 0, 0});
    expect_alike({l, 0, 0}, any_lab());
    expect_alike(any_lab(), {l, 0, 0});
  });
  EXPECT_EQ(quick({50, 0, 0}, {50, 0, 0}), 0);
  EXPECT_EQ(quick({50, 20, 30}, {50, 20, 30}), 0);
}

// Whatever its length, a row ends in points that fill no vector.
TEST(QuickCiede2000, IsTheSameWhereverAPointLies) {
  std::vector<float> l, a, b;
  for (int i = 0; i < 37; ++i) {
    l.push_back(static_cast<float>(i * 2));
    a.push_back(static_cast<float>(i % 7 * 9 - 20));
    b.push_back(static_cast<float>(i % 5 * 11 - 15));
  }
  std::vector<float> row(l.size());
  quick_ciede2000({l.data(), a.data(), b.data()}, {b.data(), l.data(), a.data()}, row.data(), row.size());
  for (std::size_t i = 0; i < row.size(); ++i) {
    float alone = -1;
    quick_ciede2000({&l[i], &a[i], &b[i]}, {&b[i], &l[i], &a[i]}, &alone, 1);
    EXPECT_EQ(row[i], alone) << i;
  }
}

TEST(QuickLab, IsLabOfEveryCode) {
  std::vector<Rgb8> codes;
  for (int r = 0; r < 256; r += 3) {
    for (int g = 0; g < 256; g += 5) {
      for (int b = 0; b < 256; b += 5)
        codes.push_back(
            {static_cast<std::uint8_t>(r), static_cast<std::uint8_t>(g), static_cast<std::uint8_t>(b)});
    }
  }
  std::vector<float> l(codes.size()), a(codes.size()), b(codes.size());
  quick_lab(codes.data(), codes.size(), l.data(), a.data(), b.data());
  double worst = 0;
  for (std::size_t i = 0; i < codes.size(); ++i) {
    const Lab exact = to_lab(codes[i]);
    for (const double off : {exact.l - static_cast<double>(l[i]), exact.a - static_cast<double>(a[i]),
                             exact.b - static_cast<double>(b[i])})
      worst = std::max(worst, std::abs(off));
  }
  EXPECT_LE(worst, 1e-3);
}

}  // namespace
}  // namespace powderplan
