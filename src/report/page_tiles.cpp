#include "report/page_tiles.h"

#include <algorithm>
#include <cmath>

#include "layers/shape_measures.h"

namespace powderplan {
namespace {

int parts(double length, double most, double overlap) {
  // A hair of slack, so that a sheet as long as the page is one part.
  return std::max(1, static_cast<int>(std::ceil((length - overlap) / (most - overlap) - 1e-9)));
}

bool has_cut(const Stencil& stencil, const BoxMm& on_sheet, double sheet_width, double sheet_height) {
  if (on_sheet.left <= 0 || on_sheet.top <= 0 || on_sheet.right >= sheet_width ||
      on_sheet.bottom >= sheet_height)
    return true;
  const double border = stencil.border.value(), reach = stencil.pin.value() / 2;
  const BoxMm box{on_sheet.left - border, on_sheet.top - border, on_sheet.right - border,
                  on_sheet.bottom - border};
  return std::any_of(stencil.openings.begin(), stencil.openings.end(),
                     [&](const PolygonMm& opening) { return outline_meets(opening, box); }) ||
         std::any_of(stencil.pins.begin(), stencil.pins.end(), [&](PointMm pin) {
           return pin.x + reach >= box.left && pin.x - reach <= box.right && pin.y + reach >= box.top &&
                  pin.y - reach <= box.bottom;
         });
}

}  // namespace

Tiling tiling_of(const Stencil& stencil, Millimetres width, Millimetres height, Millimetres overlap) {
  const double sheet_width = stencil.width.value() + 2 * stencil.border.value();
  const double sheet_height = stencil.height.value() + 2 * stencil.border.value();
  Tiling tiling;
  tiling.overlap = overlap.value();
  tiling.step_x = width.value() - overlap.value();
  tiling.step_y = height.value() - overlap.value();
  tiling.columns = parts(sheet_width, width.value(), overlap.value());
  tiling.rows = parts(sheet_height, height.value(), overlap.value());
  for (int row = 0; row < tiling.rows; ++row) {
    for (int column = 0; column < tiling.columns; ++column) {
      PageTile tile{.column = column, .row = row};
      tile.box.left = column * tiling.step_x;
      tile.box.top = row * tiling.step_y;
      tile.box.right = std::min(tile.box.left + width.value(), sheet_width);
      tile.box.bottom = std::min(tile.box.top + height.value(), sheet_height);
      tile.has_cut = has_cut(stencil, tile.box, sheet_width, sheet_height);
      tiling.tiles.push_back(tile);
    }
  }
  return tiling;
}

std::string tile_name(int column, int row) {
  std::string letters;
  for (int rest = column + 1; rest > 0; rest = (rest - 1) / 26)
    letters.insert(letters.begin(), static_cast<char>('A' + (rest - 1) % 26));
  return letters + std::to_string(row + 1);
}

}  // namespace powderplan
