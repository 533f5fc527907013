// Pictures of the piece, one grid point a pixel: as it is to become, and as it looks on the way there.
#pragma once

#include <vector>

#include "raster/area_mean.h"
#include "raster/picture_rows.h"
#include "report/stage.h"

namespace powderplan {

// Every point shows the colour of what lies there (report/point_looks.h); see stage.h for the rule of the
// stack. Row by row, for one thread, or all at once.
PictureRows<Rgb8> rows_at(const PlanRecord& record, const Moment& moment, View view);
Image<Rgb8> picture_at(const PlanRecord& record, const Moment& moment, View view);
// The same of the points in the middle of those of a coarser grid.
PictureRows<Rgb8> rows_at(const PlanRecord& record, const Moment& moment, View view, const Grid& coarse);

// At several moments, of the same points, made smaller.
std::vector<Image<Rgb8>> shrunk_at(const PlanRecord& record, const std::vector<Moment>& moments, View view,
                                   const Grid& coarse, int new_width, int new_height);

// The finished piece: on a wall, its backing behind it, or in a window, the light behind it.
Image<Rgb8> fired_preview(const PlanRecord& record, View view);
// After firing k, counted from 0: layers of later firings are not there yet.
Image<Rgb8> after_firing(const PlanRecord& record, std::size_t firing, View view);
// As it goes into firing k, on the bench: its layers lie as loose powder on what is fired already. Loose
// powder scatters so strongly that it looks pale.
Image<Rgb8> before_firing(const PlanRecord& record, std::size_t firing);

// What the plan aims at. Points that the picture leaves bare show the bare sheet.
Image<Rgb8> target_picture(const PlanRecord& record);
PictureRows<Rgb8> target_rows(const PlanRecord& record);
// Of the bare sheet, in the plan's view.
Rgb8 bare_colour(const PlanRecord& record);
// True where the picture says something: there the target counts.
bool pictured(const PlanRecord& record, std::size_t point);

// How high a picture is when it is made so wide.
int height_at_width(int width, int height, int new_width);

// A picture made smaller while its rows come: mean of the light, not of the codes.
class Shrinking {
 public:
  // Neither side may grow.
  Shrinking(int width, int height, int new_width, int new_height);
  // At most so wide.
  Shrinking(int width, int height, int most_width);
  // Only rows [begin, end) of the new picture.
  Shrinking(int width, int height, int new_width, int new_height, int begin, int end);
  // The rows that are to be added.
  [[nodiscard]] int first_row() const { return mean_.first_row(); }
  [[nodiscard]] int end_row() const { return mean_.end_row(); }
  void add(const Rgb8* row);  // the next one
  // Once all rows are there.
  [[nodiscard]] Image<Rgb8> picture() const;

 private:
  int width_;
  AreaMean mean_;
  std::vector<float> light_;
};
// Rows that are shrunk as they pass; the shrinkings must live as long.
PictureRows<Rgb8> passing(PictureRows<Rgb8> rows, std::vector<Shrinking*> into);
// Nothing but the small picture.
Image<Rgb8> shrunk(const PictureRows<Rgb8>& rows, int new_width, int new_height);

// Made smaller until it is at most `most_width` wide: mean of the light, not of the codes. A picture that is
// not wider is returned as it is.
Image<Rgb8> shrunk(const Image<Rgb8>& picture, int most_width);
// Exactly so wide, smaller or larger.
Image<Rgb8> at_width(const Image<Rgb8>& picture, int width);
// The same, and exactly so high: where a layout has rounded both.
Image<Rgb8> at_size(const Image<Rgb8>& picture, int width, int height);

}  // namespace powderplan
