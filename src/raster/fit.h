// A picture brought to the size of the piece.
#pragma once

#include <optional>

#include "raster/light_rows.h"
#include "raster/picture.h"

namespace powderplan {

// What part of the picture is used, in shares of its width and height: 0..1.
struct CropBox {
  double left = 0, top = 0, right = 1, bottom = 1;
};

enum class FitMode {
  fill,   // the piece is filled; what sticks out over its edges is cut off, evenly on both sides
  whole,  // the whole picture is shown; what it does not reach stays bare sheet (alpha 0)
};

struct PieceSize {
  Millimetres width;
  // Empty: as the picture's proportions ask.
  std::optional<Millimetres> height;
};

struct FittedPicture {
  Grid grid;
  Image<LinearPixel> pixels;  // grid.width x grid.height
  // Picture pixels per grid point along an edge: below 1 the picture is coarser than the grid.
  double pixels_per_point = 0;
};

// The same, made row by row when it is asked for.
struct FittedRows {
  Grid grid;
  LightRows rows;  // grid.width x grid.height
  double pixels_per_point = 0;
};

// Resampled in linear light and premultiplied alpha: area average when shrinking (no aliasing), cubic or
// smoother when enlarging. Throws Problem (command_line) for an empty crop, for an edge that no piece has
// (raster/piece_edges.h) and for a size below one grid point or above most_grid_points; its place is the
// option: --crop, --width, --height or --pitch-mm.
FittedRows fit_to_piece(LightRows picture, const CropBox& crop, FitMode mode, const PieceSize& size,
                        Millimetres pitch);
FittedPicture fit_to_piece(const Picture& picture, const CropBox& crop, FitMode mode, const PieceSize& size,
                           Millimetres pitch);
inline constexpr double most_grid_points = 400e6;

}  // namespace powderplan
