#include "report/worksheet_pictures.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <utility>
#include <vector>

#include "parallel.h"
#include "report/reaction_words.h"
#include "report/reactions_map.h"
#include "report/step_picture.h"
#include "report/worksheet.h"

namespace powderplan {
namespace {

// Points along a pixel of a page that are looked at: more no eye tells apart.
constexpr int points_along = 2;

// The grid, or every second, third, ... of its points each way.
Grid looked_at(const Grid& grid, const PageSize& size) {
  const int every = std::max(1, grid.width / (points_along * size.width));
  return {grid.pitch * every, std::max(size.width, grid.width / every),
          std::max(size.height, grid.height / every)};
}

class Drawing {
 public:
  Drawing(const PlanRecord& record, WorksheetPictures& pictures)
      : record_(record),
        pictures_(pictures),
        size_(page_picture_size(record.separation.grid)),
        points_(looked_at(record.separation.grid, size_)) {
    pictures.steps.resize(record.layers.size());
    pictures.laid.resize(record.layers.size());
    pictures.fired.resize(record.firing_plan.firings.size());
  }

  // The piece at all moments; when they are there, what is marked on them.
  void moments() {
    if (pictures_.target.empty())
      add([this] { pictures_.target = shrunk(target_rows(record_), size_.width, size_.height); });
    if (!marked_meetings(record_).empty())
      add([this] { pictures_.reactions = shrunk(reactions_drawing(record_), size_.width); });
    for (std::size_t k = record_.firings_done; k < pictures_.fired.size(); ++k) {
      lay_firing(k);
      want(pictures_.fired[k].wall, moment_after(k), View::wall);
      want(pictures_.fired[k].window, moment_after(k), View::window);
    }
    if (record_.firings_done == pictures_.fired.size())
      want(pictures_.final, moment_finished(record_), record_.view);
    run();
    if (pictures_.final.empty())
      pictures_.final = pictures_.fired.back().in(record_.view);
  }

  void steps() {
    for (std::size_t k = record_.firings_done; k < pictures_.fired.size(); ++k) {
      const Image<Rgb8>* before = k == record_.firings_done ? &before_first_ : &pictures_.fired[k - 1].wall;
      for (const std::size_t layer : record_.firing_plan.firings[k].layers) {
        add([this, layer, before] {
          pictures_.steps[layer] =
              step_picture(record_, layer, *before, page_picture_width(record_.separation.grid));
        });
        before = &pictures_.laid[layer];
      }
    }
    run();
  }

 private:
  // All that is wanted of the bench before a firing: each layer lies on what was there before it.
  void lay_firing(std::size_t firing) {
    std::vector<Moment> moments;
    std::vector<Image<Rgb8>*> wanted;
    Moment moment{firing, {}};
    const auto want_now = [&](Image<Rgb8>& picture) {
      if (!picture.empty())
        return;
      moments.push_back(moment);
      wanted.push_back(&picture);
    };
    if (firing == record_.firings_done)
      want_now(before_first_);
    for (const std::size_t layer : record_.firing_plan.firings[firing].layers) {
      moment.loose.push_back(layer);
      want_now(pictures_.laid[layer]);
    }
    if (moments.empty())
      return;
    std::vector<Image<Rgb8>> drawn =
        shrunk_at(record_, moments, View::wall, points_, size_.width, size_.height);
    for (std::size_t i = 0; i < wanted.size(); ++i)
      *wanted[i] = std::move(drawn[i]);
  }
  void add(std::function<void()> work) { work_.push_back(std::move(work)); }
  void want(Image<Rgb8>& picture, Moment moment, View view) {
    if (picture.empty())
      add([this, &picture, moment = std::move(moment), view] {
        picture = shrunk(rows_at(record_, moment, view, points_), size_.width, size_.height);
      });
  }
  void run() {
    for_each_block(work_.size(), [&](std::size_t i) { work_[i](); });
    work_.clear();
  }

  const PlanRecord& record_;
  WorksheetPictures& pictures_;
  PageSize size_;
  Grid points_;
  Image<Rgb8> before_first_;
  std::vector<std::function<void()>> work_;
};

}  // namespace

int page_picture_width(const Grid& grid) {
  const double of_most = std::sqrt(static_cast<double>(most_picture_points) * grid.width / grid.height);
  const double of_tallest = static_cast<double>(tallest_page_picture) * grid.width / grid.height;
  return std::max(1, static_cast<int>(std::min({double{widest_page_picture}, of_most, of_tallest})));
}

PageSize page_picture_size(const Grid& grid) {
  const int width = std::min(page_picture_width(grid), grid.width);
  return {width, width == grid.width ? grid.height : height_at_width(grid.width, grid.height, width)};
}

WorksheetPictures worksheet_pictures(const PlanRecord& record, WorksheetPictures drawn) {
  Drawing drawing(record, drawn);
  drawing.moments();
  drawing.steps();
  return drawn;
}

}  // namespace powderplan
