#include "raster/fit.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "problem.h"
#include "raster/piece_edges.h"
#include "raster/resample.h"

namespace powderplan {
namespace {

// The crop in pixels of the picture.
struct Box {
  double left, top, width, height;
};

Box crop_in_pixels(const LightRows& picture, const CropBox& crop) {
  const bool inside = crop.left >= 0 && crop.top >= 0 && crop.right <= 1 && crop.bottom <= 1;
  const double w = picture.width, h = picture.height;
  const Box box{crop.left * w, crop.top * h, (crop.right - crop.left) * w, (crop.bottom - crop.top) * h};
  if (!inside || !(box.width > 0) || !(box.height > 0))
    throw Problem(ProblemKind::command_line, "--crop",
                  fmt::format("left {}, top {}, right {}, bottom {} leaves nothing of the picture", crop.left,
                              crop.top, crop.right, crop.bottom),
                  "give shares of the picture from 0 to 1, with left < right and top < bottom");
  return box;
}

int points_along(Millimetres length, Millimetres pitch, const char* option) {
  const double points = std::round(length / pitch);
  if (!(points >= 1))
    throw Problem(
        ProblemKind::command_line, option,
        fmt::format("{:.4g} mm is less than one grid point of {:.4g} mm", length.value(), pitch.value()),
        "make the piece larger or the pitch finer");
  return static_cast<int>(std::min(points, most_grid_points + 1));
}

// Where the height follows from the picture's proportions.
[[noreturn]] void refuse_proportions(const Box& picture, Millimetres width, Millimetres height) {
  const std::string high =
      height.value() < 10 ? fmt::format("{:.2g}", height.value()) : fmt::format("{:.0f}", height.value());
  throw Problem(ProblemKind::command_line, "--width",
                fmt::format("the picture, {:.0f} x {:.0f} pixels, is so {} that a piece {:.4g} mm wide would "
                            "be {} mm high, and edges are {}",
                            picture.width, picture.height, height < width ? "wide" : "high", width.value(),
                            high, text_of(piece_edges)),
                "use a part of the picture with --crop, or give --height too");
}

Grid grid_of(const PieceSize& size, const Box& crop, Millimetres pitch) {
  if (!(pitch.value() > 0) || !std::isfinite(pitch.value()))
    throw Problem(ProblemKind::command_line, "--pitch-mm",
                  fmt::format("{:.4g} mm is not a length", pitch.value()), "give a pitch above 0");
  const Millimetres height = size.height.value_or(size.width * (crop.height / crop.width));
  const int across = points_along(size.width, pitch, "--width");
  if (!size.height && !piece_edges.holds(height.value()))
    refuse_proportions(crop, size.width, height);
  const Grid grid{pitch, across, points_along(height, pitch, "--height")};
  if (static_cast<double>(grid.width) * static_cast<double>(grid.height) > most_grid_points)
    throw Problem(ProblemKind::command_line, "--pitch-mm",
                  fmt::format("{:.4g} x {:.4g} mm in points of {:.4g} mm are more than {:.0f} million points",
                              size.width.value(), height.value(), pitch.value(), most_grid_points / 1e6),
                  "make the pitch coarser or the piece smaller");
  return grid;
}

// The crop in the middle of the piece, at `scale` pixels a point.
ResampleAxis centred(double begin, double length, int points, double scale) {
  return {points, begin + (length - scale * points) / 2, scale, begin, begin + length};
}

}  // namespace

FittedRows fit_to_piece(LightRows picture, const CropBox& crop, FitMode mode, const PieceSize& size,
                        Millimetres pitch) {
  if (picture.width == 0 || picture.height == 0)
    throw Problem(ProblemKind::input, "picture", "has no pixels", "give a picture");
  const Box box = crop_in_pixels(picture, crop);
  FittedRows fitted;
  fitted.grid = grid_of(size, box, pitch);
  const double across = box.width / fitted.grid.width, down = box.height / fitted.grid.height;
  // A height that follows from the proportions is off by the rounding to whole points only, and that must not
  // leave a line of bare sheet along an edge.
  const bool fill = mode == FitMode::fill || !size.height;
  const double scale = fill ? std::min(across, down) : std::max(across, down);
  fitted.pixels_per_point = scale;
  fitted.rows = resample(std::move(picture), centred(box.left, box.width, fitted.grid.width, scale),
                         centred(box.top, box.height, fitted.grid.height, scale));
  return fitted;
}

FittedPicture fit_to_piece(const Picture& picture, const CropBox& crop, FitMode mode, const PieceSize& size,
                           Millimetres pitch) {
  const FittedRows fitted = fit_to_piece(rows_of(picture.pixels), crop, mode, size, pitch);
  return {fitted.grid, image_of(fitted.rows), fitted.pixels_per_point};
}

}  // namespace powderplan
