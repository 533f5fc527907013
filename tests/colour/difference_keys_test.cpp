#include "colour/difference_keys.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "colour/difference.h"
#include "property.h"

namespace powderplan {
namespace {

// `spread` round the grey axis, or `beside` of another colour.
Lab any_lab(double spread) {
  return {any_between(-10, 110), any_between(-spread, spread), any_between(-spread, spread)};
}
Lab any_beside(const Lab& lab, double by) {
  return {lab.l + any_between(-by, by), lab.a + any_between(-by, by), lab.b + any_between(-by, by)};
}

std::int32_t key_of(const Lab& one, const Lab& other) {
  QuickPairs pairs{to_quick(one), {}};
  pairs.others.fill(to_quick(other));
  std::array<std::int32_t, pairs_at_once> keys{};
  quick_keys(&pairs, 1, keys.data());
  return keys[3];
}

// As a share of the largest error allowed.
double share_of_error(const Lab& one, const Lab& other) {
  const std::int32_t key = key_of(one, other);
  if (key == hues_opposite)
    return 0;
  const double exact = ciede2000(one, other), quick = std::sqrt(static_cast<double>(square_of_key(key)));
  return std::abs(quick - exact) / (quick_de00_error + quick_de00_share * exact);
}

TEST(QuickDifference, IsAsNearTheExactOneAsItSays) {
  double most = 0;
  holds_always(
      [&] {
        for (const double spread : {0.0, 1e-9, 0.01, 1.0, 10.0, 60.0, 150.0, 300.0}) {
          const Lab one = any_lab(spread);
          for (const Lab& other : {any_lab(spread), any_lab(60), any_beside(one, 1e-4), any_beside(one, 0.1),
                                   any_beside(one, 5)}) {
            const double share = share_of_error(one, other);
            RC_ASSERT(share < 1);
            most = std::max(most, share);
          }
        }
      },
      3000);
  EXPECT_GT(most, 0.05);  // or the bound says more than it must
}

TEST(QuickDifference, HoldsForColoursFarOff) {
  for (const double spread : {1000.0, most_quick_coordinate})
    holds_always([&] { RC_ASSERT(share_of_error(any_lab(300), any_lab(spread)) < 1); }, 2000);
}

TEST(QuickDifference, OfEqualColoursIsNothing) {
  holds_always([] {
    const Lab lab = any_lab(150);
    RC_ASSERT(square_of_key(key_of(lab, lab)) < 1e-9F);
  });
  EXPECT_EQ(square_of_key(key_of({50, 0, 0}, {50, 0, 0})), 0);
}

// There CIEDE2000 jumps; beyond 0.6 degrees from there it does not.
TEST(QuickDifference, KnowsOppositeHues) {
  holds_always([] {
    const double hue = any_between(-3.2, 3.2), c1 = any_between(1, 80), c2 = any_between(1, 80);
    const auto at = [&](double c, double h) { return Lab{50, c * std::cos(h), c * std::sin(h)}; };
    const double pi = std::acos(-1);
    // Along the axes stretching a* turns no hue.
    const double axis = any_whole(0, 3) * pi / 2;
    RC_ASSERT(key_of(at(c1, axis), at(c2, axis + pi)) == hues_opposite);
    RC_ASSERT(key_of(at(c1, hue), at(c2, hue + any_between(-2.5, 2.5))) != hues_opposite);
  });
}

TEST(QuickDifference, KeysStandInTheOrderOfTheirPairs) {
  // More than go through the steps together, and not a whole number of those.
  std::vector<QuickPairs> pairs(37);
  std::vector<std::vector<Lab>> others(pairs.size());
  holds_always(
      [&] {
        std::vector<Lab> ones;
        for (std::size_t i = 0; i < pairs.size(); ++i) {
          ones.push_back(any_lab(80));
          others[i].clear();
          pairs[i].one = to_quick(ones[i]);
          for (QuickLab& to : pairs[i].others) {
            others[i].push_back(any_lab(80));
            to = to_quick(others[i].back());
          }
        }
        std::vector<std::int32_t> keys(pairs.size() * pairs_at_once);
        quick_keys(pairs.data(), pairs.size(), keys.data());
        for (std::size_t i = 0; i < keys.size(); ++i) {
          if (keys[i] == hues_opposite)
            continue;
          const std::size_t k = i % pairs_at_once;
          RC_ASSERT((keys[i] & place_bits) == static_cast<std::int32_t>(k));
          const Lab& other = others[i / pairs_at_once][k];
          RC_ASSERT(keys[i] ==
                    ((key_of(ones[i / pairs_at_once], other) & ~place_bits) | static_cast<int>(k)));
        }
      },
      20);
}

TEST(QuickWinner, LeavesOpenWhateverMayBeNearest) {
  holds_always(
      [] {
        const Lab wanted = any_lab(60);
        const int count = any_whole(1, 30);
        const double by = any_whole(0, 1) == 0 ? 0.01 : 10;
        std::vector<Lab> colours;
        std::vector<QuickPairs> pairs((static_cast<std::size_t>(count) + 7) / 8);
        for (int i = 0; i < count; ++i)
          colours.push_back(any_beside(wanted, by));
        for (std::size_t i = 0; i < 8 * pairs.size(); ++i) {
          pairs[i / 8].one = to_quick(wanted);
          pairs[i / 8].others[i % 8] = to_quick(colours[std::min(i, colours.size() - 1)]);
        }
        std::vector<std::int32_t> keys(8 * pairs.size());
        quick_keys(pairs.data(), pairs.size(), keys.data());
        const QuickWinner winner = quick_winner(keys.data(), colours.size());
        const auto nearer = [&](const Lab& p, const Lab& q) {
          return ciede2000(wanted, p) < ciede2000(wanted, q);
        };
        const auto nearest = static_cast<std::size_t>(
            std::min_element(colours.begin(), colours.end(), nearer) - colours.begin());
        RC_ASSERT(keys[nearest] <= winner.limit);
        RC_ASSERT(winner.open >= 1u);
        if (winner.open == 1)
          RC_ASSERT(winner.at == nearest);
      },
      2000);
}

TEST(QuickWinner, LeavesAllOpenWhereAllHuesAreOpposite) {
  const std::vector<std::int32_t> keys(5, hues_opposite);
  const QuickWinner winner = quick_winner(keys.data(), keys.size());
  EXPECT_EQ(winner.limit, hues_opposite);
  EXPECT_EQ(winner.open, 5u);
  EXPECT_EQ(quick_winner(keys.data(), 1).at, 0u);
}

}  // namespace
}  // namespace powderplan
