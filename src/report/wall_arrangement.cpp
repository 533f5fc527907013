#include "report/wall_arrangement.h"

#include <algorithm>
#include <cmath>

#include "report/step_picture.h"

namespace powderplan {
namespace {

constexpr double gap = 6;  // between picture, panel and words

double key_width(double size) {
  return 1.9 * size;
}

PageText caption_style(const PictureWithWords& parts) {
  return {.size = parts.caption_size, .line_pitch = 1.25};
}

double caption_height(const WallPlan& plan, const PictureWithWords& parts, double width) {
  return 0.5 * parts.caption_size +
         plan.pdf.paragraph_height(width - (parts.caption_has_key ? key_width(parts.caption_size) : 0),
                                   parts.caption, caption_style(parts));
}

class Arranger {
 public:
  Arranger(const WallPlan& plan, const PictureWithWords& parts, const BoxMm& room)
      : plan_(plan),
        parts_(parts),
        room_(room),
        width_(room.right - room.left),
        height_(room.bottom - room.top) {}

  std::optional<WordsPlaced> best() {
    for (const double share : {0.5, 0.58, 0.42})
      words_below(share);
    for (const double share : {0.66, 0.6, 0.54, 0.48, 0.42})
      words_beside(share);
    return best_;
  }

 private:
  // Picture over the whole width, or beside its panel; below them the words, side by side.
  void words_below(double share) {
    const double apart = gap * plan_.unit;
    const double first = (width_ - apart) * share, second = width_ - apart - first;
    const double words =
        std::max(parts_.first.height(plan_.pdf, first), parts_.second.height(plan_.pdf, second));
    const double rest = height_ - words - apart / 2;
    const double panel = parts_.panel ? parts_.panel->width + apart : 0;
    const double caption = caption_height(plan_, parts_, width_ - panel);
    if (parts_.panel && parts_.panel->height > rest)
      return;
    WordsPlaced placed;
    placed.picture =
        piece_place(plan_.record, {room_.left, room_.top, room_.right - panel, room_.top + rest - caption});
    placed.caption_width = width_ - panel;
    placed.caption = {room_.left, bottom_of(placed.picture)};
    placed.panel_width = parts_.panel ? parts_.panel->width : 0;
    placed.panel = {room_.right - placed.panel_width, room_.top};
    // The words follow the picture; what is left over stays free at the foot.
    const double above =
        std::max(placed.caption.y + caption, room_.top + (parts_.panel ? parts_.panel->height : 0)) +
        apart / 2;
    placed.first = {room_.left, above};
    placed.second = {room_.left + first + apart, above};
    placed.first_width = first;
    placed.second_width = second;
    take(placed);
  }

  // Picture at the left, its panel below it; the words at the right, one below the other.
  void words_beside(double share) {
    const double apart = gap * plan_.unit;
    const double left = (width_ - apart) * share, right = width_ - apart - left;
    const double first = parts_.first.height(plan_.pdf, right),
                 second = parts_.second.height(plan_.pdf, right);
    const double caption = caption_height(plan_, parts_, left);
    const double panel = parts_.panel ? parts_.panel->height + apart / 2 : 0;
    if (first + apart / 2 + second > height_ || (parts_.panel && parts_.panel->width > left))
      return;
    WordsPlaced placed;
    placed.picture =
        piece_place(plan_.record, {room_.left, room_.top, room_.left + left, room_.bottom - caption - panel});
    placed.caption = {room_.left, bottom_of(placed.picture)};
    placed.caption_width = left;
    placed.panel = {room_.left, placed.caption.y + caption + apart / 2};
    placed.panel_width = left;
    placed.first = {room_.left + left + apart, room_.top};
    placed.second = {placed.first.x, room_.top + first + apart / 2};
    placed.first_width = placed.second_width = right;
    take(placed);
  }

  void take(const WordsPlaced& placed) {
    if (placed.picture.zoom > 0 && (!best_ || placed.picture.zoom > best_->picture.zoom))
      best_ = placed;
  }

  const WallPlan& plan_;
  const PictureWithWords& parts_;
  BoxMm room_;
  double width_, height_;
  std::optional<WordsPlaced> best_;
};

}  // namespace

std::optional<WordsPlaced> place_words(const WallPlan& plan, const PictureWithWords& parts,
                                       const BoxMm& room) {
  return room.bottom > room.top ? Arranger(plan, parts, room).best() : std::nullopt;
}

std::optional<PicturePlaced> place_picture(const WallPlan& plan, const BoxMm& room) {
  if (room.bottom < room.top)
    return std::nullopt;
  const PicturePlaced placed{piece_place(plan.record, room)};
  return placed.picture.zoom > 0 ? std::optional(placed) : std::nullopt;
}

double wanted_diagonal(double scale) {
  return scale > 0.88 ? 120 : scale > 0.72 ? 105 : least_diagonal;
}

bool large_enough(const WallPlan& plan, const PiecePlace& place, double diagonal) {
  const BoxMm& box = place.picture;
  // A small piece need not be enlarged further for the sake of this.
  return place.zoom >= most_enlarged ||
         std::hypot(box.right - box.left, box.bottom - box.top) >= diagonal * plan.unit;
}

void draw_words(const WallPlan& plan, const PictureWithWords& parts, const WordsPlaced& placed) {
  const double size = parts.caption_size, key = parts.caption_has_key ? key_width(size) : 0;
  const double x = placed.caption.x, y = placed.caption.y + 0.5 * size;
  if (parts.caption_has_key) {
    const PolygonMm box{{x, y + 0.15 * size},
                        {x + 1.45 * size, y + 0.15 * size},
                        {x + 1.45 * size, y + 1.1 * size},
                        {x, y + 1.1 * size}};
    plan.pdf.fill(box, mark_colour);
    plan.pdf.shape(box, {.width = 0.12 * size});
  }
  paragraph_below(plan.pdf, {x + key, y}, placed.caption_width - key, parts.caption, caption_style(parts));
  parts.first.draw(plan.pdf, placed.first, placed.first_width);
  parts.second.draw(plan.pdf, placed.second, placed.second_width);
  if (parts.panel)
    parts.panel->draw(placed.panel, placed.panel_width);
}

}  // namespace powderplan
