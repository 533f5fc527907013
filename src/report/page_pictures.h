// Pictures as they stand within a page, and the maps from which the bench page reads what lies at a point.
#pragma once

#include <string>
#include <vector>

#include "report/worksheet_pictures.h"

namespace powderplan {

// "data:image/webp;base64,...": for looking at; the same with crisp marks; with every pixel as it was.
std::string shown_in_page(const Image<Rgb8>& picture);
std::string marked_in_page(const Image<Rgb8>& picture);
std::string exact_in_page(const Image<Rgb8>& picture);
std::string exact_in_page(const Image<std::uint8_t>& grey);

// The worksheet's pictures as such addresses; what is empty stays empty.
struct PagePictures {
  std::string final, target, reactions;
  std::vector<std::string> steps, laid;
  struct Fired {
    std::string wall, window;
    [[nodiscard]] const std::string& in(View view) const { return view == View::wall ? wall : window; }
  };
  std::vector<Fired> fired;
};

// A coarser grid over the same piece; each of its points stands for the one grid point in its middle
// (middle_of in raster/image.h), so nothing is averaged and what is read there is true of that point.
inline constexpr int widest_point_map = 800;
inline constexpr int most_map_points = 500'000;
Grid point_map_grid(const Grid& grid);

struct PointMaps {
  Grid grid;
  std::vector<std::string> amounts;  // one a layer: share of its load, in 255ths
  std::string wall, window, target;  // colours of the finished piece, and what it aims at
  std::vector<std::uint64_t>
      sums;  // of the values of each layer's map: to tell whether a browser reads them truly
};

PagePictures page_pictures(const PlanRecord& record, const WorksheetPictures& pictures);
PointMaps point_maps(const PlanRecord& record);

}  // namespace powderplan
