#include "layers/scratching.h"

#include "property.h"

namespace powderplan {
namespace {

const Grid grid{Millimetres(0.25), 200, 100};
const Millimetres smallest(2);

Image<std::uint8_t> level_line(int from, int to, int y, int wide = 3) {
  Image<std::uint8_t> strokes(grid.width, grid.height);
  for (int x = from; x < to; ++x) {
    for (int k = 0; k < wide; ++k)
      strokes.at(x, y + k) = 1;
  }
  return strokes;
}

// The layer lies on the left of a border.
Image<Amount> left_of(int border, Amount amount = whole_amount) {
  Image<Amount> field(grid.width, grid.height);
  for (int y = 0; y < grid.height; ++y) {
    for (int x = 0; x < border; ++x)
      field.at(x, y) = amount;
  }
  return field;
}

TEST(ScratchedShare, AllInsideAField) {
  EXPECT_EQ(scratched_share(left_of(200), level_line(20, 180, 50), grid, smallest), 1);
}

TEST(ScratchedShare, NoneOutside) {
  EXPECT_EQ(scratched_share(left_of(0), level_line(20, 180, 50), grid, smallest), 0);
  EXPECT_EQ(scratched_share(left_of(200, 117), level_line(20, 180, 50), grid, smallest), 0) << "a thin tone";
}

TEST(ScratchedShare, HalfAndHalf) {
  // From x = 20 to 180, of which the field ends at 100; 2 mm before its border it is no longer beside.
  EXPECT_NEAR(scratched_share(left_of(100), level_line(20, 180, 50), grid, smallest), (100 - 20 - 8) / 160.0,
              0.03);
}

TEST(ScratchedShare, NeedsTheFieldOnBothSides) {
  // A border along the stroke: its nearest point of nothing is `beside` points from the stroke's edge.
  for (int beside = 1; beside < 20; ++beside) {
    Image<Amount> field = left_of(200);
    for (int y = 53 + beside; y < grid.height; ++y) {
      for (int x = 0; x < grid.width; ++x)
        field.at(x, y) = 0;
    }
    const double share = scratched_share(field, level_line(20, 180, 50), grid, smallest);
    if (beside != 8) {  // just at the limit
      EXPECT_EQ(share, beside > 8 ? 1 : 0) << beside;
    }
  }
}

TEST(ScratchedShare, TheLayerMayBeLeftOutUnderTheStroke) {
  const Image<std::uint8_t> strokes = level_line(20, 180, 50);
  Image<Amount> field = left_of(200);
  for (std::size_t i = 0; i < field.size(); ++i) {
    if (strokes[i] != 0)
      field[i] = 0;
  }
  EXPECT_EQ(scratched_share(field, strokes, grid, smallest), 1);
}

TEST(ScratchedShare, NothingToScratch) {
  EXPECT_EQ(scratched_share(left_of(200), Image<std::uint8_t>(grid.width, grid.height), grid, smallest), 0);
  EXPECT_EQ(scratched_share(left_of(200), Image<std::uint8_t>(grid.width, grid.height, 1), grid, smallest),
            0);
  EXPECT_EQ(scratched_share({}, {}, {Millimetres(0.25), 0, 0}, smallest), 0);
}

TEST(ScratchedShares, EachStrokeOnItsOwn) {
  Image<int> pieces(grid.width, grid.height);
  const Image<std::uint8_t> inside = level_line(20, 80, 30), outside = level_line(120, 180, 70);
  for (std::size_t i = 0; i < pieces.size(); ++i)
    pieces[i] = inside[i] != 0 ? 1 : outside[i] != 0 ? 3 : 0;
  EXPECT_EQ(scratched_shares(left_of(100), pieces, 3, grid, smallest), (std::vector<double>{1, 0, 0}));
}

}  // namespace
}  // namespace powderplan
