#include "separation/colour_index.h"

#include <algorithm>
#include <limits>
#include <numeric>
#include <random>

#include "parallel.h"
#include "property.h"

namespace powderplan {
namespace {

Image<PackedLab> any_picture(int most, double spread) {
  Image<PackedLab> picture(*rc::gen::inRange(1, most), *rc::gen::inRange(1, most));
  const Lab middle{any_between(10, 90), any_between(-50, 50), any_between(-50, 50)};
  // One draw for all points: a draw for each would be slow and would not shrink well.
  std::mt19937 random(*rc::gen::inRange(0u, 1000000u));
  std::uniform_real_distribution<double> off(-spread, spread);
  for (std::size_t i = 0; i < picture.size(); ++i) {
    const double l = off(random), a = off(random), b = off(random);
    picture[i] = to_pixel({middle.l + l, middle.a + a, middle.b + b});
  }
  return picture;
}

Image<std::uint8_t> any_bare(const Image<PackedLab>& picture) {
  Image<std::uint8_t> bare(picture.width(), picture.height());
  std::mt19937 random(*rc::gen::inRange(0u, 1000000u));
  for (std::size_t i = 0; i < bare.size(); ++i)
    bare[i] = random() % 4 == 0 ? 1 : 0;
  return bare;
}

double total(const std::vector<WeightedColour>& colours) {
  return std::accumulate(colours.begin(), colours.end(), 0.0,
                         [](double sum, const WeightedColour& c) { return sum + c.weight; });
}

TEST(ColourIndex, CountsEveryPointOnceAndNoBareOne) {
  holds_always([] {
    const Image<PackedLab> picture = any_picture(20, any_between(0, 60));
    const Image<std::uint8_t> bare = any_bare(picture);
    const auto most = *rc::gen::inRange(std::size_t{1}, std::size_t{100});
    const ColourIndex index = index_colours(picture, bare, most);
    RC_ASSERT(index.colours.size() <= most);
    std::vector<double> points(index.colours.size(), 0.0);
    std::vector<Lab> sums(index.colours.size());
    for (std::size_t i = 0; i < picture.size(); ++i) {
      RC_ASSERT((index.at[i] == ColourIndex::bare) == (bare[i] != 0));
      if (bare[i] != 0)
        continue;
      RC_ASSERT(index.at[i] < index.colours.size());
      points[index.at[i]] += 1;
      sums[index.at[i]].l += picture[i].l();
    }
    for (std::size_t c = 0; c < points.size(); ++c) {
      RC_ASSERT(points[c] == index.colours[c].weight);
      RC_ASSERT(points[c] > 0);
      RC_ASSERT(std::abs(sums[c].l / points[c] - index.colours[c].lab.l) < 1e-9);
    }
  });
}

TEST(ColourIndex, IsAsFineAsItsFinestCellWhereColoursAreFew) {
  holds_always([] {
    const Image<PackedLab> picture = any_picture(12, 30);
    const ColourIndex index =
        index_colours(picture, Image<std::uint8_t>(picture.width(), picture.height()), 60000);
    for (std::size_t i = 0; i < picture.size(); ++i) {
      const Lab& mean = index.colours[index.at[i]].lab;
      RC_ASSERT(std::abs(mean.l - picture[i].l()) <= finest_cell);
      RC_ASSERT(std::abs(mean.a - picture[i].a()) <= finest_cell);
      RC_ASSERT(std::abs(mean.b - picture[i].b()) <= finest_cell);
    }
  });
}

TEST(ColourIndex, OfNothing) {
  const Image<PackedLab> picture(3, 2);
  EXPECT_TRUE(index_colours(picture, Image<std::uint8_t>(3, 2, 1), 10).colours.empty());
  EXPECT_TRUE(index_colours({}, {}, 10).colours.empty());
}

// Colours beyond what any shelf or screen has must not fall out of the table.
TEST(ColourIndex, TakesAnyColour) {
  Image<PackedLab> picture(3, 1);
  picture[0] = {-5, -300, 300};
  picture[1] = {130, 300, -300};
  picture[2] = {50, 0, 0};
  EXPECT_EQ(total(index_colours(picture, Image<std::uint8_t>(3, 1), 10).colours), 3);
}

std::vector<WeightedColour> any_colours(int most) {
  std::vector<WeightedColour> colours;
  for (int i = *rc::gen::inRange(0, most); i > 0; --i)
    colours.push_back(
        {{any_between(0, 100), any_between(-60, 60), any_between(-60, 60)}, any_decade_between(1, 1e4)});
  return colours;
}

TEST(Cluster, KeepsTheWeightAndTheMean) {
  holds_always([] {
    const std::vector<WeightedColour> colours = any_colours(60);
    const auto count = *rc::gen::inRange(std::size_t{1}, std::size_t{20});
    const std::vector<WeightedColour> centres = cluster(colours, count);
    RC_ASSERT(centres.size() <= count);
    RC_ASSERT(centres.size() == std::min(count, colours.size()));
    RC_ASSERT(std::abs(total(centres) - total(colours)) <= 1e-9 * total(colours));
    const auto mean = [](const std::vector<WeightedColour>& list) {
      return std::accumulate(list.begin(), list.end(), 0.0,
                             [](double sum, const WeightedColour& c) { return sum + c.weight * c.lab.l; });
    };
    RC_ASSERT(std::abs(mean(centres) - mean(colours)) <= 1e-9 * (1 + mean(colours)));
  });
}

TEST(Cluster, IsNoWorseThanItsBestSingleColour) {
  holds_always([] {
    const std::vector<WeightedColour> colours = any_colours(60);
    const auto spread = [&](const std::vector<WeightedColour>& centres) {
      double sum = 0;
      for (const WeightedColour& c : colours) {
        double least = std::numeric_limits<double>::infinity();
        for (const WeightedColour& centre : centres) {
          const double dl = c.lab.l - centre.lab.l, da = c.lab.a - centre.lab.a, db = c.lab.b - centre.lab.b;
          least = std::min(least, dl * dl + da * da + db * db);
        }
        sum += c.weight * least;
      }
      return sum;
    };
    if (!colours.empty())
      RC_ASSERT(spread(cluster(colours, 5)) <= spread(cluster(colours, 1)) * (1 + 1e-9));
  });
}

TEST(Cluster, OfFewerColoursThanAskedForIsThoseColours) {
  const std::vector<WeightedColour> two{{{10, 0, 0}, 3}, {{90, 5, 5}, 4}};
  EXPECT_EQ(cluster(two, 2).size(), 2u);
  EXPECT_EQ(cluster(two, 9).size(), 2u);
  EXPECT_TRUE(cluster(two, 0).empty());
  EXPECT_TRUE(cluster({}, 3).empty());
  // Twice the same colour is one.
  const std::vector<WeightedColour> same{{{10, 0, 0}, 3}, {{10, 0, 0}, 4}, {{10, 0, 0}, 5}};
  const std::vector<WeightedColour> one = cluster(same, 2);
  ASSERT_EQ(one.size(), 1u);
  EXPECT_EQ(one[0].weight, 12);
}

TEST(Cluster, IsTheSameForAnyNumberOfThreads) {
  std::vector<WeightedColour> colours;
  for (int i = 0; i < 3000; ++i)
    colours.push_back({{i * 37 % 101 * 1.0, i * 61 % 127 - 60.0, i * 89 % 113 - 55.0}, 1.0 + i % 7});
  const auto by = [&](unsigned threads) {
    const ThreadCount cap(threads);
    std::vector<double> flat;
    for (const WeightedColour& c : cluster(colours, 40))
      flat.insert(flat.end(), {c.lab.l, c.lab.a, c.lab.b, c.weight});
    return flat;
  };
  EXPECT_EQ(by(1), by(4));
}

}  // namespace
}  // namespace powderplan
