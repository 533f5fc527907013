#include "report/worksheet_pictures.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include "parallel.h"
#include "report/reaction_words.h"
#include "report/reactions_map.h"
#include "report/step_picture.h"
#include "report/worksheet.h"

namespace powderplan {
namespace {

// One moment at the bench serves two pictures: that of the layer just laid, and that of where the next one
// goes.
void draw_moment(const PlanRecord& record, std::size_t firing, std::size_t laid, int wide,
                 WorksheetPictures& into) {
  const std::vector<std::size_t>& layers = record.firing_plan.firings[firing].layers;
  const auto count = static_cast<std::ptrdiff_t>(laid);
  const Moment moment{firing, {layers.begin(), layers.begin() + count}};
  const std::vector<Rgb8> colours = spot_colours(record, moment, View::wall);
  if (laid < layers.size())
    into.steps[layers[laid]] = step_picture(record, layers[laid], colours, wide);
  if (laid > 0)
    into.laid[layers[laid - 1]] = shrunk(picture_of_spots(record, colours), wide);
}

}  // namespace

int page_picture_width(const Grid& grid) {
  return std::min(widest_page_picture, static_cast<int>(std::sqrt(static_cast<double>(most_picture_points) *
                                                                  grid.width / grid.height)));
}

WorksheetPictures worksheet_pictures(const PlanRecord& planned) {
  PlanRecord record = planned;
  record.spots = few_spots(planned);
  const int wide = page_picture_width(record.separation.grid);
  WorksheetPictures pictures;
  pictures.steps.resize(record.layers.size());
  pictures.laid.resize(record.layers.size());
  pictures.fired.resize(record.firing_plan.firings.size());
  std::vector<std::function<void()>> work{[&] { pictures.target = shrunk(target_picture(record), wide); }};
  if (!marked_meetings(record).empty())
    work.emplace_back([&] { pictures.reactions = shrunk(reactions_drawing(record), wide); });
  for (std::size_t k = record.firings_done; k < pictures.fired.size(); ++k) {
    for (std::size_t laid = 0; laid <= record.firing_plan.firings[k].layers.size(); ++laid)
      work.emplace_back(
          [&record, &pictures, wide, k, laid] { draw_moment(record, k, laid, wide, pictures); });
    work.emplace_back([&record, &pictures, wide, k] {
      pictures.fired[k].wall = shrunk(after_firing(record, k, View::wall), wide);
    });
    work.emplace_back([&record, &pictures, wide, k] {
      pictures.fired[k].window = shrunk(after_firing(record, k, View::window), wide);
    });
  }
  if (record.firings_done == pictures.fired.size())
    work.emplace_back([&] { pictures.final = shrunk(fired_preview(record, record.view), wide); });
  for_each_block(work.size(), [&](std::size_t i) { work[i](); });
  if (pictures.final.empty())
    pictures.final = pictures.fired.back().in(record.view);
  return pictures;
}

}  // namespace powderplan
