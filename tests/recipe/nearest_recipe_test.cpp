#include "recipe/nearest_recipe.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

#include "colour/difference.h"
#include "colour/difference_keys.h"
#include "parallel.h"
#include "problem.h"
#include "property.h"
#include "recipe/colour_cells.h"

namespace powderplan {
namespace {

#if defined(__SANITIZE_ADDRESS__) || !defined(NDEBUG)
constexpr std::size_t share_of_cases = 50;
#else
constexpr std::size_t share_of_cases = 1;
#endif

class Some {
 public:
  explicit Some(unsigned seed) : engine_(seed) {}
  double between(double least, double most) {
    // Of the standard library only the engine is the same everywhere.
    return least + (most - least) * static_cast<double>(engine_() >> 11) * 0x1p-53;
  }
  Lab lab(double ab) { return {between(0, 100), between(-ab, ab), between(-ab, ab)}; }
  std::vector<Lab> labs(std::size_t count, double ab) {
    std::vector<Lab> all(count);
    for (Lab& lab : all)
      lab = this->lab(ab);
    return all;
  }

 private:
  std::mt19937_64 engine_;
};

// The plain version, on all threads.
std::vector<std::uint32_t> of_all(const std::vector<Lab>& colours, const std::vector<Lab>& wanted) {
  std::vector<std::uint32_t> found(wanted.size());
  constexpr std::size_t block = 16;
  for_each_block((wanted.size() + block - 1) / block, [&](std::size_t b) {
    for (std::size_t i = b * block; i < std::min(wanted.size(), (b + 1) * block); ++i)
      found[i] = static_cast<std::uint32_t>(nearest_of_all(colours, wanted[i]));
  });
  return found;
}

// Every colour compared with, but in double precision only those that the quick difference leaves open (whose
// error difference_keys_test.cpp checks): the plain version of a million colours would take ten minutes.
std::vector<std::uint32_t> of_all_quickly(const std::vector<Lab>& colours, const std::vector<Lab>& wanted) {
  std::vector<std::uint32_t> found(wanted.size());
  constexpr std::size_t block = 256;
  for_each_block((wanted.size() + block - 1) / block, [&](std::size_t b) {
    std::vector<QuickPairs> pairs((colours.size() + pairs_at_once - 1) / pairs_at_once);
    for (std::size_t k = 0; k < pairs.size() * pairs_at_once; ++k)
      pairs[k / pairs_at_once].others[k % pairs_at_once] = to_quick(colours[std::min(k, colours.size() - 1)]);
    std::vector<std::int32_t> keys(pairs.size() * pairs_at_once);
    for (std::size_t i = b * block; i < std::min(wanted.size(), (b + 1) * block); ++i) {
      for (QuickPairs& of : pairs)
        of.one = to_quick(wanted[i]);
      quick_keys(pairs.data(), pairs.size(), keys.data());
      const QuickWinner winner = quick_winner(keys.data(), colours.size());
      double least = std::numeric_limits<double>::infinity();
      for (std::size_t k = 0; k < colours.size(); ++k) {
        if (keys[k] > winner.limit)
          continue;
        if (const double d = ciede2000(wanted[i], colours[k]); d < least) {
          least = d;
          found[i] = static_cast<std::uint32_t>(k);
        }
      }
    }
  });
  return found;
}

std::vector<std::uint32_t> by_cells(const NearestRecipe& recipes, const std::vector<Lab>& wanted) {
  std::vector<std::uint32_t> found(wanted.size());
  constexpr std::size_t block = 1000;
  for_each_block((wanted.size() + block - 1) / block, [&](std::size_t b) {
    const std::size_t begin = b * block, count = std::min(block, wanted.size() - begin);
    recipes.find(std::span(wanted).subspan(begin, count), std::span(found).subspan(begin, count));
  });
  return found;
}

// How many answers differ from those given.
std::size_t wrong(const std::vector<Lab>& colours, const std::vector<Lab>& wanted,
                  const std::vector<std::uint32_t>& right) {
  const NearestRecipe recipes(colours);
  std::size_t count = 0;
  // Three times, so that cells are split between: the answers must not change.
  for (int pass = 0; pass < 3; ++pass) {
    const std::vector<std::uint32_t> found = by_cells(recipes, wanted);
    for (std::size_t i = 0; i < wanted.size(); ++i)
      count += found[i] != right[i] ? 1 : 0;
  }
  // And without cells.
  for (std::size_t i = 0; i < std::min<std::size_t>(wanted.size(), 3000); ++i)
    count += recipes.nearest_of_few(wanted[i]) != right[i] ? 1 : 0;
  return count;
}
std::size_t wrong(const std::vector<Lab>& colours, const std::vector<Lab>& wanted) {
  return wrong(colours, wanted, of_all(colours, wanted));
}

// The box of the recipes and some beyond.
std::vector<Lab> wanted_round_about(Some& some, std::size_t count) {
  std::vector<Lab> wanted(std::max<std::size_t>(1, count / share_of_cases));
  for (Lab& lab : wanted)
    lab = {some.between(-5, 105), some.between(-100, 100), some.between(-100, 100)};
  return wanted;
}

TEST(NearestRecipe, OfAMillionColoursIsTheBestOf4096) {
  Some some(1);
  const std::vector<Lab> colours = some.labs(4096, 75);
  const std::vector<Lab> wanted = wanted_round_about(some, 1000000);
  EXPECT_EQ(wrong(colours, wanted, of_all_quickly(colours, wanted)), 0u);
}

TEST(NearestRecipe, IsTheBestOf65536) {
  Some some(2);
  const std::vector<Lab> colours = some.labs(65536, 75);
  const std::vector<Lab> wanted = wanted_round_about(some, 30000);
  EXPECT_EQ(wrong(colours, wanted, of_all_quickly(colours, wanted)), 0u);
}

TEST(NearestRecipe, IsWhatThePlainVersionSays) {
  Some some(3);
  EXPECT_EQ(wrong(some.labs(4096, 75), wanted_round_about(some, 10000)), 0u);
  EXPECT_EQ(wrong(some.labs(65536, 75), wanted_round_about(some, 500)), 0u);
}

TEST(NearestRecipe, OfFewColoursIsTheBest) {
  Some some(4);
  for (const std::size_t count : {1u, 2u, 3u, 7u, 8u, 9u, 17u, 100u}) {
    for (const double ab : {0.0, 0.1, 5.0, 120.0})
      EXPECT_EQ(wrong(some.labs(count, ab), wanted_round_about(some, 5000)), 0u) << count << ' ' << ab;
  }
}

// Colours of sRGB, whose greys are not quite neutral, against recipes that are and that are not.
TEST(NearestRecipe, OfGreysIsTheBest) {
  Some some(5);
  std::vector<Lab> wanted;
  for (int i = 0; i < 256; ++i) {
    const auto v = static_cast<std::uint8_t>(i);
    wanted.push_back(to_lab(Rgb8{v, v, v}));
    wanted.push_back({wanted.back().l, 0, 0});
    wanted.push_back({wanted.back().l, -0.0, 1e-12});
    wanted.push_back({wanted.back().l, some.between(-1, 1), some.between(-1, 1)});
  }
  for (const double ab : {0.0, 1e-6, 1.0, 6.0, 40.0}) {
    std::vector<Lab> colours = some.labs(2000, ab);
    EXPECT_EQ(wrong(colours, wanted), 0u) << ab;
    for (std::size_t i = 0; i < colours.size(); i += 3)
      colours[i].a = colours[i].b = 0;
    EXPECT_EQ(wrong(colours, wanted), 0u) << ab;
  }
}

// There the difference jumps, and rounding decides to which side.
TEST(NearestRecipe, WhereHuesAreOppositeIsTheBest) {
  Some some(6);
  for (const double most : {0.5, 3.0, 20.0, 90.0}) {
    std::vector<Lab> colours, wanted;
    for (int i = 0; i < 40; ++i) {
      // Two recipes that mirror each other, and wanted colours on the far side of the axis from the first.
      const Lab c{some.between(40, 60), some.between(-most, most), some.between(-most, most)};
      colours.push_back(c);
      colours.push_back({c.l, -c.a, -c.b});
      for (const double by : {-1.0, -0.5, -1e-3, -3.0}) {
        wanted.push_back({c.l, by * c.a, by * c.b});
        wanted.push_back({c.l, by * c.a, by * c.b * (1 + 1e-15)});
        wanted.push_back({c.l, by * c.a + some.between(-1e-4, 1e-4), by * c.b});
        wanted.push_back({c.l, by * c.a + some.between(-0.02, 0.02), by * c.b});
      }
    }
    EXPECT_EQ(wrong(colours, wanted), 0u) << most;
    for (std::size_t i = 0; i < colours.size(); i += 2)
      EXPECT_EQ(wrong({colours[i]}, wanted), 0u);
    EXPECT_EQ(wrong({{50, most, 0}, {50, 0, most}, {50, -most, 0}}, wanted), 0u);
  }
}

TEST(NearestRecipe, OnTheBordersOfCellsIsTheBest) {
  Some some(7);
  const std::vector<Lab> colours = some.labs(3000, 60);
  std::vector<Lab> wanted;
  constexpr double a_little = 1e-13;
  for (int i = 0; i < 3000; ++i) {
    const auto on_border = [&](double least, double most) {
      const double border = std::round(some.between(least, most) / ColourCells::finest) * ColourCells::finest;
      return border + a_little * std::round(some.between(-1.5, 1.5));
    };
    wanted.push_back({on_border(0, 100), on_border(-70, 70), on_border(-70, 70)});
  }
  EXPECT_EQ(wrong(colours, wanted), 0u);
}

TEST(NearestRecipe, FarOutsideTheGamutIsTheBest) {
  Some some(8);
  const std::vector<Lab> colours = some.labs(500, 60);
  std::vector<Lab> wanted;
  for (const double far : {120.0, 200.0, 255.9, 256.0, 300.0, 5000.0, 10000.0}) {
    for (int i = 0; i < 100; ++i)
      wanted.push_back({some.between(-far, far), some.between(-far, far), some.between(-far, far)});
  }
  for (const double l : {-16.0, -16.0001, 119.9999, 120.0})
    wanted.push_back({l, 3, 4});
  EXPECT_EQ(wrong(colours, wanted), 0u);
  // Recipes there too.
  std::vector<Lab> far = some.labs(500, 9000);
  EXPECT_EQ(wrong(far, wanted), 0u);
}

TEST(NearestRecipe, OfEqualOnesIsTheFirst) {
  Some some(9);
  std::vector<Lab> colours = some.labs(50, 60);
  for (int i = 0; i < 2000; ++i)
    colours.push_back(colours[static_cast<std::size_t>(some.between(0, 50))]);
  std::reverse(colours.begin(), colours.end());
  EXPECT_EQ(wrong(colours, wanted_round_about(some, 3000)), 0u);
  EXPECT_EQ(NearestRecipe(std::vector<Lab>(70000, Lab{50, 1, 2})).nearest({49, 1, 2}), 0u);
  // As far in either direction.
  EXPECT_EQ(NearestRecipe({{60, 0, 0}, {40, 0, 0}}).nearest({50, 0, 0}), 0u);
  EXPECT_EQ(NearestRecipe({{40, 0, 0}, {60, 0, 0}}).nearest({50, 0, 0}), 0u);
}

TEST(NearestRecipe, NextToEachOtherAreToldApart) {
  Some some(10);
  std::vector<Lab> colours;
  for (int i = 0; i < 300; ++i)
    colours.push_back(
        {50 + some.between(-1e-6, 1e-6), 20 + some.between(-1e-6, 1e-6), 10 + some.between(-1e-6, 1e-6)});
  EXPECT_EQ(wrong(colours, colours), 0u);
  EXPECT_EQ(wrong(colours, wanted_round_about(some, 300)), 0u);
}

TEST(NearestRecipe, IsTheSameFromAnyNumberOfThreads) {
  Some some(11);
  const std::vector<Lab> colours = some.labs(4096, 75), wanted = wanted_round_about(some, 60000);
  std::vector<std::uint32_t> alone;
  for (const unsigned threads : {1u, 2u, 7u}) {
    const ThreadCount cap(threads);
    const NearestRecipe recipes(colours);
    const std::vector<std::uint32_t> found = by_cells(recipes, wanted);
    if (threads == 1)
      alone = found;
    EXPECT_EQ(found, alone) << threads;
  }
}

TEST(NearestRecipe, RefusesWhatIsNoColour) {
  const double no_number = std::numeric_limits<double>::quiet_NaN(),
               endless = std::numeric_limits<double>::infinity();
  const NearestRecipe recipes({{50, 0, 0}, {60, 10, 10}});
  for (const double bad : {no_number, endless, -endless, 10001.0}) {
    for (const Lab& lab : {Lab{bad, 0, 0}, Lab{50, bad, 0}, Lab{50, 0, bad}}) {
      EXPECT_THROW((void)recipes.nearest(lab), Problem) << bad;
      EXPECT_THROW(NearestRecipe({{50, 0, 0}, lab}), Problem) << bad;
    }
  }
  EXPECT_THROW(NearestRecipe({}), Problem);
}

}  // namespace
}  // namespace powderplan
