// Where a piece is cut: against every way of cutting on small grids, and on drawn pictures whose best cuts
// are plain to see.
#include "layers/panel_cuts.h"

#include <algorithm>
#include <cmath>
#include <random>
#include <tuple>

#include "drawn_separation.h"
#include "parallel.h"
#include "property.h"

namespace powderplan {
namespace {

constexpr Millimetres smallest{2};

template <class Label>
Separation drawn(int width, int height, double pitch, Label&& label) {
  return drawn_separation({Millimetres(pitch), width, height}, {nest_of(0, {Load(0.1)})}, {{0}, {1}}, label);
}

// Black where label 1 lies, white elsewhere: 100 apart in lightness.
Image<PackedLab> seen(const Separation& separation) {
  Image<PackedLab> wanted(separation.grid.width, separation.grid.height);
  for (std::size_t i = 0; i < wanted.size(); ++i)
    wanted[i] = {separation.label_at[i] != 0 ? 0.0F : 100.0F, 0, 0};
  return wanted;
}

Separation noise(int width, int height, double pitch, unsigned seed, unsigned one_in) {
  std::mt19937 random(seed);
  return drawn(width, height, pitch, [&](int, int) { return random() % one_in == 0 ? 1 : 0; });
}

PanelLayout cut(const Separation& separation, const Shelf& shelf) {
  return cut_into_panels(separation, {}, seen(separation), shelf, smallest);
}

// Every way of choosing places, tried one after the other.
Parting by_trying_all(const std::vector<int>& places, const std::vector<double>& costs,
                      const std::vector<std::size_t>& count_of_length) {
  const std::size_t inner = places.size() - 2;
  double mean = 0;
  for (std::size_t i = 0; i < inner; ++i)
    mean += costs[i + 1] / static_cast<double>(inner);
  Parting best;
  for (std::size_t bits = 0; bits < std::size_t{1} << inner; ++bits) {
    Parting tried{{0}, 0, 0, 0};
    bool allowed = true;
    const auto end_at = [&](std::size_t i) {
      const int length = places[i] - tried.ends.back();
      const std::size_t count = count_of_length[static_cast<std::size_t>(length)];
      const double share = static_cast<double>(length) / places.back();
      allowed = allowed && count > 0;
      tried.count += count;
      tried.value += evenness_price * mean * share * share;
      tried.ends.push_back(places[i]);
    };
    for (std::size_t i = 1; i <= inner; ++i) {
      if ((bits >> (i - 1) & 1) == 0)
        continue;
      tried.cost += costs[i];
      tried.value += costs[i];
      end_at(i);
    }
    end_at(places.size() - 1);
    if (allowed &&
        (best.ends.empty() || std::tie(tried.count, tried.value) < std::tie(best.count, best.value)))
      best = tried;
  }
  return best;
}

TEST(BestParting, IsTheBestOfAll) {
  holds_always(
      [] {
        const int whole = any_whole(4, 40);
        std::vector<int> places{0};
        while (static_cast<int>(places.size()) < 12 && places.back() + 1 < whole)
          places.push_back(any_whole(places.back() + 1, std::min(whole - 1, places.back() + 4)));
        places.push_back(whole);
        std::vector<double> costs;
        for (std::size_t i = 0; i < places.size(); ++i)
          costs.push_back(any_whole(0, 3) == 0 ? 0 : any_between(0, 10));
        std::vector<std::size_t> count_of_length;
        for (int length = 0; length <= whole; ++length)
          count_of_length.push_back(static_cast<std::size_t>(length == 0 ? 0 : any_whole(0, 3)));
        const Parting found = best_parting(places, costs, count_of_length);
        const Parting tried = by_trying_all(places, costs, count_of_length);
        RC_ASSERT(found.ends.empty() == tried.ends.empty());
        if (tried.ends.empty())
          return;
        RC_ASSERT(found.count == tried.count);
        RC_ASSERT(std::abs(found.value - tried.value) < 1e-9);
        double cost = 0;
        for (std::size_t i = 1; i + 1 < found.ends.size(); ++i)
          cost += costs[static_cast<std::size_t>(std::find(places.begin(), places.end(), found.ends[i]) -
                                                 places.begin())];
        RC_ASSERT(std::abs(cost - found.cost) < 1e-9);
      },
      500);
}

TEST(BestParting, WhereNothingCostsThePartsAreAsEvenAsTheyCanBe) {
  const std::vector<int> places{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10};
  std::vector<std::size_t> up_to_six(11, 0);
  std::fill(up_to_six.begin() + 1, up_to_six.begin() + 7, 1);
  const Parting parting = best_parting(places, std::vector<double>(11, 0), up_to_six);
  EXPECT_EQ(parting.ends, (std::vector<int>{0, 5, 10}));
}

TEST(BestParting, NothingWhereNoPartFits) {
  EXPECT_TRUE(best_parting({0, 5, 10}, {0, 0, 0}, {0, 1, 1, 1, 1, 0, 0, 0, 0, 0, 0}).ends.empty());
}

// What the header says, line by line and change by change.
double cost_by_the_book(const Separation& separation, const Image<PackedLab>& wanted, const GridBox& box,
                        int at, bool down) {
  const int near = std::max(1, static_cast<int>(std::lround(smallest / separation.grid.pitch)));
  const int width = down ? box.right - box.left : box.bottom - box.top;
  const int length = down ? box.bottom - box.top : box.right - box.left;
  const auto place = [&](int across, int along) {
    const int x = box.left + (down ? across : along), y = box.top + (down ? along : across);
    return std::pair(std::clamp(x, 0, separation.grid.width - 1),
                     std::clamp(y, 0, separation.grid.height - 1));
  };
  const auto label = [&](int across, int along) {
    const auto [x, y] = place(across, along);
    return separation.label_at.at(x, y);
  };
  const auto lightness = [&](int across, int along) {
    const auto [x, y] = place(across, along);
    return static_cast<double>(wanted.at(x, y).l());
  };
  double cost = 0;
  for (int along = 1; along < length; ++along) {
    for (const int side : {at - 1, at}) {
      if (label(side, along - 1) != label(side, along))
        cost += (1 + std::min(30.0, std::abs(lightness(side, along - 1 - near / 2) -
                                             lightness(side, along + near / 2))) /
                         10) /
                2;
    }
  }
  for (int along = 0; along < length; ++along) {
    for (int edge = std::max(1, at - near + 1); edge <= std::min(width - 1, at + near - 1); ++edge) {
      if (edge != at && label(edge - 1, along) != label(edge, along))
        cost += separation.grid.pitch.value() * sliver_price;
    }
  }
  return cost;
}

TEST(CutCosts, AreThoseOfEachLineByTheBook) {
  holds_always(
      [] {
        const int width = any_whole(2, 24), height = any_whole(2, 24);
        const Separation separation =
            noise(width, height, any_between(0.3, 2.5), static_cast<unsigned>(any_whole(0, 99999)),
                  static_cast<unsigned>(any_whole(2, 9)));
        const Image<PackedLab> wanted = seen(separation);
        const GridBox box{any_whole(0, width / 2), any_whole(0, height / 2), width, height};
        const CutCosts costs = cut_costs(separation, {}, wanted, box, smallest);
        RC_ASSERT(costs.down.size() == static_cast<std::size_t>(box.right - box.left + 1));
        RC_ASSERT(costs.across.size() == static_cast<std::size_t>(box.bottom - box.top + 1));
        for (int at = 1; at < box.right - box.left; ++at)
          RC_ASSERT(std::abs(costs.down[static_cast<std::size_t>(at)] -
                             cost_by_the_book(separation, wanted, box, at, true)) < 1e-9);
        for (int at = 1; at < box.bottom - box.top; ++at)
          RC_ASSERT(std::abs(costs.across[static_cast<std::size_t>(at)] -
                             cost_by_the_book(separation, wanted, box, at, false)) < 1e-9);
      },
      100);
}

// Of a layout: every point in exactly one panel, every panel on the shelf and not too narrow, every cut from
// edge to edge of what earlier ones left.
void check(const PanelLayout& layout, const Grid& grid, const Shelf& shelf) {
  Image<std::uint8_t> times(grid.width, grid.height, 0);
  const double pitch = grid.pitch.value();
  const double longer = std::max(shelf.size.width, shelf.size.height).value() - 2 * shelf.margin.value();
  const double shorter = std::min(shelf.size.width, shelf.size.height).value() - 2 * shelf.margin.value();
  for (const Panel& panel : layout.panels) {
    const GridBox& box = panel.box;
    const int width = box.right - box.left, height = box.bottom - box.top;
    RC_ASSERT(width > 0 && height > 0);
    RC_ASSERT(std::max(width, height) * pitch <= longer + 1e-6);
    RC_ASSERT(std::min(width, height) * pitch <= shorter + 1e-6);
    RC_ASSERT(width == grid.width || width * pitch >= least_panel_edge.value() - 1e-6);
    RC_ASSERT(height == grid.height || height * pitch >= least_panel_edge.value() - 1e-6);
    for (int y = box.top; y < box.bottom; ++y)
      for (int x = box.left; x < box.right; ++x)
        ++times.at(x, y);
  }
  RC_ASSERT(std::all_of(times.data(), times.data() + times.size(), [](std::uint8_t n) { return n == 1; }));
  std::vector<BoxMm> parts{{0, 0, grid.width * pitch, grid.height * pitch}};
  for (const PanelCut& one : layout.cuts) {
    const bool down = one.from.x == one.to.x;
    const auto near = [](double a, double b) { return std::abs(a - b) < 1e-6; };
    const auto parted = std::find_if(parts.begin(), parts.end(), [&](const BoxMm& part) {
      return down ? near(part.top, one.from.y) && near(part.bottom, one.to.y) && part.left < one.from.x &&
                        one.from.x < part.right
                  : near(part.left, one.from.x) && near(part.right, one.to.x) && part.top < one.from.y &&
                        one.from.y < part.bottom;
    });
    RC_ASSERT(parted != parts.end());
    BoxMm rest = *parted;
    (down ? parted->right : parted->bottom) = down ? one.from.x : one.from.y;
    (down ? rest.left : rest.top) = down ? one.from.x : one.from.y;
    parts.push_back(rest);
  }
  RC_ASSERT(parts.size() == layout.panels.size());
}

TEST(CutIntoPanels, CoversThePieceOnceWithPanelsThatFitTheShelf) {
  holds_always(
      [] {
        const double pitch = any_between(0.7, 5);
        const int width = static_cast<int>(any_between(60, 700) / pitch) + 1;
        const int height = static_cast<int>(any_between(60, 700) / pitch) + 1;
        const Separation separation =
            noise(width, height, pitch, static_cast<unsigned>(any_whole(0, 99999)), 40);
        const double margin = any_between(0, 20);
        const Shelf shelf{{Millimetres(any_between(120, 400) + 2 * margin),
                           Millimetres(any_between(120, 400) + 2 * margin)},
                          Millimetres(margin)};
        const PanelLayout layout = cut(separation, shelf);
        const std::size_t fewest = fewest_panels(separation.grid, shelf);
        if (layout.panels.empty()) {
          RC_ASSERT(fewest == 1U);
          return;
        }
        RC_ASSERT(layout.panels.size() == fewest);
        check(layout, separation.grid, shelf);
        for (std::size_t i = 1; i < layout.panels.size(); ++i)
          RC_ASSERT(std::tie(layout.panels[i - 1].row, layout.panels[i - 1].column) <
                    std::tie(layout.panels[i].row, layout.panels[i].column));
      },
      60);
}

TEST(CutIntoPanels, APieceThatFitsLyingEitherWayIsNotCut) {
  const Shelf shelf{{Millimetres(230), Millimetres(330)}, Millimetres(15)};
  EXPECT_TRUE(cut(noise(300, 200, 1, 1, 4), shelf).panels.empty());
  EXPECT_EQ(cut(noise(301, 200, 1, 1, 4), shelf).panels.size(), 2U);
}

TEST(FewestPanels, AreAsManyAsStripsThatLieEitherWayNeed) {
  const auto fewest = [](int width, int height, double shelf_width, double shelf_height) {
    return fewest_panels({Millimetres(1), width, height},
                         {{Millimetres(shelf_width), Millimetres(shelf_height)}, Millimetres(0)});
  };
  EXPECT_EQ(fewest(600, 400, 300, 200), 4U);
  EXPECT_EQ(fewest(600, 400, 200, 300), 4U);
  // Two lying and two standing beside them: 300 + 200 wide.
  EXPECT_EQ(fewest(500, 300, 300, 150), 4U);
  EXPECT_EQ(fewest(601, 400, 300, 200), 6U);
  EXPECT_EQ(fewest(1000, 30, 300, 200), 4U);
}

// Two discs beside one another: the cut goes between them although the middle of the piece lies in one.
TEST(CutIntoPanels, GoesBetweenWhatIsDrawn) {
  const Separation separation = drawn(400, 200, 1, [](int x, int y) {
    return std::hypot(x - 90, y - 100) < 70 || std::hypot(x - 260, y - 100) < 80 ? 1 : 0;
  });
  const PanelLayout layout = cut(separation, {{Millimetres(300), Millimetres(250)}, Millimetres(0)});
  ASSERT_EQ(layout.cuts.size(), 1U);
  const PanelCut& only = layout.cuts[0];
  EXPECT_EQ(only.from.y, 0);
  EXPECT_EQ(only.to.y, 200);
  EXPECT_EQ(only.from.x, only.to.x);
  EXPECT_GT(only.from.x, 160);
  EXPECT_LT(only.from.x, 180);
  EXPECT_EQ(layout.crossed, 0U);
  EXPECT_EQ(layout.crossed_if_even, 2U) << "in and out of the right disc";
}

// On the edge between two fields costs nothing, a little beside it leaves a sliver all the way.
TEST(CutIntoPanels, GoesAlongAnEdgeAndNotBesideIt) {
  const Separation separation = drawn(400, 200, 1, [](int x, int y) {
    return (x >= 190) != (y % 20 == 0) ? 1 : 0;  // stripes, so that lines elsewhere cost too
  });
  const CutCosts costs = cut_costs(separation, {}, seen(separation), {0, 0, 400, 200}, Millimetres(4));
  EXPECT_LT(costs.down[190], costs.down[188]);
  EXPECT_LT(costs.down[190], costs.down[193]);
  EXPECT_NEAR(costs.down[186], costs.down[190], 1e-9) << "far enough from the edge it costs what it crosses";
}

// Three squares one above the other on the left, two on the right: each strip is cut for itself.
TEST(CutIntoPanels, EachStripGoesRoundWhatLiesInIt) {
  const Separation separation = drawn(400, 400, 1, [](int x, int y) {
    const bool left = x < 200 && x > 20 && x < 180 && y > 30 && y < 230;
    const bool right = x > 220 && x < 380 && y > 170 && y < 370;
    return left || right ? 1 : 0;
  });
  const PanelLayout layout = cut(separation, {{Millimetres(260), Millimetres(260)}, Millimetres(0)});
  ASSERT_EQ(layout.panels.size(), 4U);
  EXPECT_EQ(layout.crossed, 0U);
  ASSERT_EQ(layout.cuts.size(), 3U);
  EXPECT_NE(layout.cuts[1].from.y, layout.cuts[2].from.y);
}

TEST(CutIntoPanels, LinesDrawnByHandAreGoneRoundToo) {
  const Separation separation = drawn(400, 200, 1, [](int, int) { return 0; });
  Layer lines;
  lines.technique = Technique::line;
  lines.amount = decltype(lines.amount)(400, 200, 0);
  for (int y = 20; y < 180; y += 6)
    for (int x = 190; x < 210; ++x)
      lines.amount.at(x, y) = whole_amount;
  const PanelLayout layout =
      cut_into_panels(separation, {lines}, seen(separation),
                      {{Millimetres(300), Millimetres(250)}, Millimetres(0)}, smallest);
  EXPECT_EQ(layout.crossed, 0U);
  EXPECT_GT(layout.crossed_if_even.value(), 40U);
}

TEST(CutIntoPanels, IsTheSameWithAnyNumberOfThreads) {
  const Separation separation = noise(900, 700, 0.5, 7, 30);
  const Shelf shelf{{Millimetres(200), Millimetres(180)}, Millimetres(10)};
  std::vector<PanelLayout> layouts;
  for (const unsigned count : {1U, 2U, 5U}) {
    const ThreadCount threads(count);
    layouts.push_back(cut(separation, shelf));
  }
  for (const PanelLayout& layout : layouts) {
    EXPECT_EQ(layout.panels, layouts.front().panels);
    EXPECT_EQ(layout.crossed, layouts.front().crossed);
  }
  EXPECT_GT(layouts.front().crossed_if_even.value(), layouts.front().crossed);
}

}  // namespace
}  // namespace powderplan
