#include "report/piece_drawing.h"

#include <gtest/gtest.h>

#include "report/fixture.h"
#include "report/mm_scale.h"

namespace powderplan {
namespace {

TEST(PieceDrawing, KeepsProportionsAndStaysInItsRoom) {
  const BoxMm room{12, 50, 198, 170};
  for (const auto& [width, height] : {std::pair{200, 140}, {60, 300}, {400, 40}, {8, 6}}) {
    const PlanRecord plan = fixture::record(width, height, Millimetres(1));
    const PiecePlace place = piece_place(plan, room);
    const BoxMm& box = place.picture;
    EXPECT_GE(box.left, room.left);
    EXPECT_GE(box.top, room.top);
    EXPECT_LE(box.right, room.right);
    EXPECT_LE(bottom_of(place), room.bottom + 1.5);
    EXPECT_NEAR((box.right - box.left) / width, place.zoom, 1e-9);
    EXPECT_NEAR((box.bottom - box.top) / height, place.zoom, 1e-9);
    EXPECT_LE(place.zoom, most_enlarged);
  }
}

TEST(PieceDrawing, NoRoomIsNoPicture) {
  EXPECT_EQ(piece_place(fixture::record(), {10, 10, 200, 12}).zoom, 0);
}

TEST(MmScale, StepsAreOneTwoOrFiveTimesAPowerOfTen) {
  for (const auto& [length, step] :
       {std::pair{40.0, 1.0}, {41.0, 2.0}, {112.0, 5.0}, {400.0, 10.0}, {900.0, 50.0}, {4.0, 0.1}})
    EXPECT_NEAR(scale_step(length), step, 1e-9) << length;
}

}  // namespace
}  // namespace powderplan
