#include "raster/light_rows.h"

#include "parallel.h"

namespace powderplan {

Image<LinearPixel> image_of(const LightRows& rows) {
  Image<LinearPixel> picture(rows.width, rows.height);
  for_each_row_band(rows.height, [&](int begin, int end) {
    for (int y = begin; y < end; ++y)
      rows.row(y, picture.row(y));
  });
  return picture;
}

}  // namespace powderplan
