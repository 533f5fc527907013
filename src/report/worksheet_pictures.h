// All pictures of the worksheets: drawn once, for the screen and for paper.
#pragma once

#include <string>
#include <vector>

#include "raster/image.h"
#include "report/plan_record.h"

namespace powderplan {

// Pictures are at most this wide, pixels.
inline constexpr int widest_page_picture = 900;

struct DrawnPictures {
  Image<Rgb8> final, target;
  Image<Rgb8> reactions;             // empty when no pair that reacts meets
  std::vector<Image<Rgb8>> steps;    // one a layer
  std::vector<Image<Rgb8>> firings;  // one a firing
};

DrawnPictures drawn_pictures(const PlanRecord& record);

// The same as PNG files in Base64, for pages in HTML.
struct WorksheetPictures {
  std::string final, target;
  std::string reactions;
  std::vector<std::string> steps;
  std::vector<std::string> firings;
};

WorksheetPictures worksheet_pictures(const PlanRecord& record, const DrawnPictures& drawn);

}  // namespace powderplan
