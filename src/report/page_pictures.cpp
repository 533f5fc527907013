#include "report/page_pictures.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include "parallel.h"
#include "raster/webp.h"
#include "report/files.h"
#include "report/point_looks.h"
#include "report/preview.h"

namespace powderplan {
namespace {

// Of libwebp's 0..100: below this the grain of a photo begins to smear at arm's length.
constexpr float show_quality = 80;

std::string address(const std::vector<std::uint8_t>& webp) {
  return "data:image/webp;base64," + base64(webp);
}

using Work = std::vector<std::function<void()>>;

void run(const Work& work) {
  for_each_block(work.size(), [&](std::size_t i) { work[i](); });
}

// What stands at the grid points that the map takes.
template <class T, class At>
Image<T> picked(const Grid& map, const Grid& grid, const At& at) {
  Image<T> values(map.width, map.height);
  for (std::size_t i = 0; i < values.size(); ++i)
    values[i] = at(middle_of(i, map, grid));
  return values;
}

}  // namespace

std::string shown_in_page(const Image<Rgb8>& picture) {
  return address(encode_webp_for_show(picture, show_quality));
}

std::string marked_in_page(const Image<Rgb8>& picture) {
  return address(encode_webp_with_marks(picture));
}

std::string exact_in_page(const Image<Rgb8>& picture) {
  return address(encode_webp(picture));
}

std::string exact_in_page(const Image<std::uint8_t>& grey) {
  return address(encode_webp(grey));
}

Grid point_map_grid(const Grid& grid) {
  const double points = static_cast<double>(grid.width) * grid.height;
  const double scale = std::min({1.0, static_cast<double>(widest_point_map) / grid.width,
                                 static_cast<double>(tallest_page_picture) / grid.height,
                                 std::sqrt(most_map_points / points)});
  const auto side = [&](int length) { return std::max(1, static_cast<int>(std::floor(length * scale))); };
  return {grid.pitch * (static_cast<double>(grid.width) / side(grid.width)), side(grid.width),
          side(grid.height)};
}

PagePictures page_pictures(const PlanRecord& record, const WorksheetPictures& pictures) {
  PagePictures page;
  page.steps.resize(pictures.steps.size());
  page.laid.resize(pictures.laid.size());
  page.fired.resize(pictures.fired.size());
  Work work;
  const auto show = [&](std::string& into, const Image<Rgb8>& picture) {
    if (!picture.empty())
      work.emplace_back([&into, &picture] { into = shown_in_page(picture); });
  };
  const auto keep_marks = [&](std::string& into, const Image<Rgb8>& picture) {
    if (!picture.empty())
      work.emplace_back([&into, &picture] { into = marked_in_page(picture); });
  };
  for (std::size_t i = 0; i < pictures.steps.size(); ++i) {
    // A fade is all gradients: nothing in it is crisp but what the page draws over it.
    if (record.layers[i].technique == Technique::fade)
      show(page.steps[i], pictures.steps[i]);
    else
      keep_marks(page.steps[i], pictures.steps[i]);
    show(page.laid[i], pictures.laid[i]);
  }
  for (std::size_t k = 0; k < pictures.fired.size(); ++k) {
    show(page.fired[k].wall, pictures.fired[k].wall);
    show(page.fired[k].window, pictures.fired[k].window);
  }
  show(page.final, pictures.final);
  show(page.target, pictures.target);
  keep_marks(page.reactions, pictures.reactions);
  run(work);
  return page;
}

PointMaps point_maps(const PlanRecord& record) {
  const Grid& grid = record.separation.grid;
  PointMaps maps;
  maps.grid = point_map_grid(grid);
  maps.amounts.resize(record.layers.size());
  maps.sums.resize(record.layers.size());
  const auto colours = [&](std::string& into, View view) {
    return [&record, &maps, &into, &grid, view] {
      PointLooks<Rgb8> looks(record, moment_finished(record), view);
      into = exact_in_page(picked<Rgb8>(maps.grid, grid, [&](std::size_t point) { return looks.at(point); }));
    };
  };
  Work work{colours(maps.wall, View::wall), colours(maps.window, View::window), [&] {
              maps.target = exact_in_page(
                  picked<Rgb8>(maps.grid, grid, [&record, sheet = bare_colour(record)](std::size_t point) {
                    return pictured(record, point) ? record.target[point] : sheet;
                  }));
            }};
  for (std::size_t i = 0; i < record.layers.size(); ++i)
    work.emplace_back([&, i] {
      const Image<std::uint8_t> amounts = picked<std::uint8_t>(
          maps.grid, grid, [&](std::size_t point) { return record.layers[i].amount[point]; });
      for (std::size_t p = 0; p < amounts.size(); ++p)
        maps.sums[i] += amounts[p];
      maps.amounts[i] = exact_in_page(amounts);
    });
  run(work);
  return maps;
}

}  // namespace powderplan
