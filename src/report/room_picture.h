// The piece in its place: put into a photo of the room, at scale, in the light of its wall or window.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "colour/tristimulus.h"
#include "optics/stack.h"
#include "photo/photo_point.h"
#include "raster/picture.h"
#include "shape.h"

namespace powderplan {

// A photo, and a rectangle on the wall (or the pane of a window) in it whose size is known.
struct Room {
  Picture photo;
  std::array<PhotoPoint, 4> corners;  // of the rectangle: top left, then clockwise, as one stands before it
  Millimetres width, height;          // of the rectangle
  std::optional<Rgb8> paint;          // the wall's colour in daylight, where it is known
};

struct RoomPicture {
  Image<Rgb8> picture;             // the photo with the piece, longest_room_side at most
  std::vector<std::string> notes;  // what was assumed
};

// `piece`: the piece seen from straight before it, without anything round it, whole edge to whole edge;
// `middle`: of the piece, mm from the rectangle's top left corner. A plane under perspective keeps its
// straight lines (FlatView). The light that falls on the wall round the piece gives the piece its brightness,
// its fall-off across it and, where the paint is known or near grey, its colour: the wall is taken to reflect
// plain_wall of it. In a window the piece is as bright as what is seen through the window beside it. Lens
// distortion is not modelled. Throws Problem (command_line): the corners make no rectangle seen from
// its front (place "--wall"), or the piece does not lie whole in the photo ("--at-mm").
RoomPicture room_picture(const Room& room, const Image<Rgb8>& piece, Millimetres width, Millimetres height,
                         PointMm middle, View view);

// The same refusals, before anything is drawn.
void check_place(const Room& room, Millimetres width, Millimetres height, PointMm middle);

inline constexpr int longest_room_side = 2400;  // pixels
// White paint, about (common practice, no source).
inline constexpr double plain_wall = 0.8;

}  // namespace powderplan
