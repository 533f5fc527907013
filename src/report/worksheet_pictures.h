// All pictures of the worksheets, drawn once and at the same time; each kind of page stores them as it needs.
#pragma once

#include <vector>

#include "report/plan_record.h"

namespace powderplan {

// How a firing leaves the piece, seen both ways.
struct FiredPictures {
  Image<Rgb8> wall, window;
  [[nodiscard]] const Image<Rgb8>& in(View view) const { return view == View::wall ? wall : window; }
};

// As wide as page_picture_width says.
struct WorksheetPictures {
  Image<Rgb8> final, target;
  Image<Rgb8> reactions;           // empty when no pair that reacts meets
  std::vector<Image<Rgb8>> steps;  // one a layer: the piece before it, with its place marked
  std::vector<Image<Rgb8>> laid;   // one a layer: the piece with it, its firing's powder loose, on the bench
  std::vector<FiredPictures> fired;  // one a firing
};

// So that a page holds many of them: at most widest_page_picture pixels, and less for a tall piece.
inline constexpr int widest_page_picture = 900;
inline constexpr int most_picture_points = 620'000;
inline constexpr int tallest_page_picture = 8000;  // WebP has no taller than 16383, and a page shows less
int page_picture_width(const Grid& grid);

// How large a picture of the piece stands on a page.
struct PageSize {
  int width, height;
};
PageSize page_picture_size(const Grid& grid);

// What `drawn` holds of final, target, laid and fired is taken as it is; the rest is drawn, of a very fine
// grid from every so-manieth point only.
WorksheetPictures worksheet_pictures(const PlanRecord& record, WorksheetPictures drawn = {});

}  // namespace powderplan
