#include "report/worksheet_pictures.h"

#include <functional>

#include "parallel.h"
#include "raster/png.h"
#include "report/files.h"
#include "report/reaction_words.h"
#include "report/reactions_map.h"
#include "report/step_picture.h"
#include "report/worksheet.h"

namespace powderplan {
namespace {

std::string encoded(const PlanRecord& record, const Image<Rgb8>& picture) {
  const Grid& grid = record.separation.grid;
  return base64(encode_png(picture, grid.pitch * (static_cast<double>(grid.width) / picture.width())));
}

}  // namespace

WorksheetPictures worksheet_pictures(const PlanRecord& record) {
  WorksheetPictures pictures;
  pictures.steps.resize(record.layers.size());
  pictures.firings.resize(record.firing_plan.firings.size());
  const auto preview = [&](std::string& into, const std::function<Image<Rgb8>()>& draw) {
    return [&record, &into, draw] { into = encoded(record, shrunk(draw(), widest_page_picture)); };
  };
  std::vector<std::function<void()>> work{
      preview(pictures.final, [&] { return fired_preview(record, record.view); }),
      preview(pictures.target, [&] { return target_picture(record); })};
  if (!marked_meetings(record).empty())
    work.emplace_back(preview(pictures.reactions, [&] { return reactions_drawing(record); }));
  for (std::size_t k = 0; k < pictures.firings.size(); ++k)
    work.emplace_back(
        preview(pictures.firings[k], [&record, k] { return after_firing(record, k, record.view); }));
  for (std::size_t i = 0; i < pictures.steps.size(); ++i)
    work.emplace_back([&record, &pictures, i] {
      pictures.steps[i] = encoded(record, step_picture(record, i, widest_page_picture));
    });
  for_each_block(work.size(), [&](std::size_t i) { work[i](); });
  return pictures;
}

}  // namespace powderplan
