#include "report/firing_strip.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/canvas.h"
#include "report/preview.h"
#include "report/ruler.h"

namespace powderplan {
namespace {

constexpr int edge = 36, between_firings = 56, arrow_room = 44, heading_room = 66, caption_room = 44;
constexpr int title_room = 92, ruler_room = 76;
// Above this it is no longer seen at once.
constexpr int tallest = 1150;
// Narrower no colour is seen. A piece still thinner than these two is drawn wider than it is.
constexpr int least_width = 24, tallest_of_least_width = 8000;
constexpr Rgb8 ink{25, 25, 25}, grey{100, 100, 100}, outline{170, 170, 170};

struct Layout {
  int columns = 1, rows = 1;
  int width = 0, height = 0;  // of one picture
};

int cell_height(const Layout& layout) {
  return heading_room + layout.height + caption_room;
}

// The way to lay so many firings out that shows them largest.
Layout best_layout(int firings, double proportion) {
  Layout best;
  for (int columns = 1; columns <= firings; ++columns) {
    Layout layout{columns, (firings + columns - 1) / columns, 0, 0};
    const int room = strip_width - 2 * edge - (columns - 1) * between_firings;
    const int by_height = (tallest - title_room - ruler_room) / layout.rows - heading_room - caption_room;
    const int width = std::min(
        {(room / columns - arrow_room) / 2, strip_picture_width, static_cast<int>(by_height / proportion)});
    layout.width = std::max(least_width, width);
    layout.height =
        std::clamp(static_cast<int>(std::lround(layout.width * proportion)), 1, tallest_of_least_width);
    if (layout.width > best.width)
      best = layout;
  }
  return best;
}

void arrow(Canvas& canvas, double x, double y) {
  canvas.line(x - 12, y, x + 12, y, 2.5, grey);
  canvas.line(x + 12, y, x + 3, y - 8, 2.5, grey);
  canvas.line(x + 12, y, x + 3, y + 8, 2.5, grey);
}

void picture_with_caption(Canvas& canvas, int x, int y, const Image<Rgb8>& picture, const Layout& layout,
                          const char* caption) {
  const Image<Rgb8> shown = at_size(picture, layout.width, layout.height);
  canvas.picture(x, y, shown);
  canvas.frame(x - 1, y - 1, shown.width() + 2, shown.height() + 2, 1, outline);
  canvas.text_within(x, y + layout.height + 28, layout.width, caption, {.size = 19, .colour = grey});
}

}  // namespace

std::string heat_words(const Firing& firing) {
  std::string words = fmt::format("{} finish", name_of(firing.finish));
  if (!firing.segments.empty())
    words += fmt::format(", up to {:.0f} \u00b0C", top_of(firing.segments).value());
  return words;
}

std::vector<FiringPictures> firing_pictures(const PlanRecord& record, int most_width) {
  std::vector<FiringPictures> pictures;
  for (std::size_t k = 0; k < record.firing_plan.firings.size(); ++k)
    pictures.push_back({shrunk(before_firing(record, k), most_width),
                        shrunk(after_firing(record, k, record.view), most_width)});
  return pictures;
}

Image<Rgb8> firing_strip(const PlanRecord& record, const std::vector<FiringPictures>& pictures) {
  const int firings = static_cast<int>(pictures.size());
  const Layout layout = best_layout(std::max(1, firings), record.height / record.width);
  const int page_height = title_room + layout.rows * cell_height(layout) + ruler_room;
  Canvas canvas(strip_width, firings == 0 ? title_room : page_height);
  canvas.text_within(edge, 54, strip_width - 2 * edge, record.title,
                     {.size = 34, .weight = Weight::bold, .colour = ink});
  canvas.text(edge, 84, firings == 0 ? "No firing: nothing lies on this sheet" : "Firing by firing",
              {.size = 21, .colour = grey});
  if (firings == 0)
    return canvas.image();

  const int cell_width = 2 * layout.width + arrow_room;
  const int used = layout.columns * cell_width + (layout.columns - 1) * between_firings;
  const int left = std::max(edge, layout.columns == 1 ? edge : (strip_width - used) / 2);
  for (int k = 0; k < firings; ++k) {
    const Firing& firing = record.firing_plan.firings[static_cast<std::size_t>(k)];
    const int x = left + k % layout.columns * (cell_width + between_firings);
    const int y = title_room + k / layout.columns * cell_height(layout) + heading_room;
    const std::string number = fmt::format("{}", k + 1);
    const TextStyle large{.size = 44, .weight = Weight::bold, .colour = ink};
    canvas.text(x, y - 14, number, large);
    const double words = x + canvas.text_width(number, large) + 16;
    canvas.text_within(words, y - 16, x + cell_width - words, heat_words(firing),
                       {.size = 23, .colour = ink});
    const FiringPictures& shown = pictures[static_cast<std::size_t>(k)];
    picture_with_caption(canvas, x, y, shown.before, layout, "powder laid");
    arrow(canvas, x + layout.width + arrow_room / 2.0, y + layout.height / 2.0);
    picture_with_caption(canvas, x + layout.width + arrow_room, y, shown.after, layout, "fired");
  }

  const double pixels_per_mm = layout.width / record.width.value();
  const double length = ruler_length(0.8 * layout.width / pixels_per_mm);
  const double y = page_height - 34, to = left + length * pixels_per_mm;
  canvas.line(left, y, to, y, 2, ink);
  canvas.line(left, y - 8, left, y + 8, 2, ink);
  canvas.line(to, y - 8, to, y + 8, 2, ink);
  canvas.text(to + 14, y + 7, fmt::format("{:g} mm", length), {.size = 20, .colour = ink});
  return canvas.image();
}

}  // namespace powderplan
