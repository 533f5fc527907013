#include "report/worksheet_pictures.h"

#include <functional>

#include "parallel.h"
#include "raster/png.h"
#include "report/files.h"
#include "report/reaction_words.h"
#include "report/reactions_map.h"
#include "report/step_picture.h"

namespace powderplan {
namespace {

using Work = std::vector<std::function<void()>>;

void do_all(const Work& work) {
  for_each_block(work.size(), [&](std::size_t i) { work[i](); });
}

}  // namespace

DrawnPictures drawn_pictures(const PlanRecord& record) {
  DrawnPictures pictures;
  pictures.steps.resize(record.layers.size());
  pictures.firings.resize(record.firing_plan.firings.size());
  const auto preview = [](Image<Rgb8>& into, const std::function<Image<Rgb8>()>& draw) {
    return [&into, draw] { into = shrunk(draw(), widest_page_picture); };
  };
  Work work{preview(pictures.final, [&] { return fired_preview(record, record.view); }),
            preview(pictures.target, [&] { return target_picture(record); })};
  if (!marked_meetings(record).empty())
    work.emplace_back(preview(pictures.reactions, [&] { return reactions_drawing(record); }));
  for (std::size_t k = 0; k < pictures.firings.size(); ++k)
    work.emplace_back(
        preview(pictures.firings[k], [&record, k] { return after_firing(record, k, record.view); }));
  for (std::size_t i = 0; i < pictures.steps.size(); ++i)
    work.emplace_back(
        [&record, &pictures, i] { pictures.steps[i] = step_picture(record, i, widest_page_picture); });
  do_all(work);
  return pictures;
}

WorksheetPictures worksheet_pictures(const PlanRecord& record, const DrawnPictures& drawn) {
  WorksheetPictures pictures;
  pictures.steps.resize(drawn.steps.size());
  pictures.firings.resize(drawn.firings.size());
  Work work;
  const auto encode = [&](const Image<Rgb8>& picture, std::string& into) {
    if (picture.empty())
      return;
    work.emplace_back([&record, &picture, &into] {
      const Grid& grid = record.separation.grid;
      into = base64(encode_png(picture, grid.pitch * (static_cast<double>(grid.width) / picture.width())));
    });
  };
  encode(drawn.final, pictures.final);
  encode(drawn.target, pictures.target);
  encode(drawn.reactions, pictures.reactions);
  for (std::size_t i = 0; i < drawn.steps.size(); ++i)
    encode(drawn.steps[i], pictures.steps[i]);
  for (std::size_t k = 0; k < drawn.firings.size(); ++k)
    encode(drawn.firings[k], pictures.firings[k]);
  do_all(work);
  return pictures;
}

}  // namespace powderplan
