#include "report/reactions_map.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "report/canvas.h"
#include "report/reaction_words.h"
#include "report/step_picture.h"
#include "spoken.h"

namespace powderplan {
namespace {

constexpr int narrowest_drawing = 720;  // pixels
constexpr int most_letters_of_a_pair = 3;
constexpr Rgb8 hatch_ground{250, 205, 165};

// L* 74 to 97: shapes are still to be seen, and every mark stands out.
Rgb8 pale(const Rgb8& colour) {
  return to_rgb8(to_linear_rgb(to_xyz(Lab{74 + 0.23 * to_lab(colour).l, 0, 0})));
}

struct Sizes {
  double letter;  // height of the letters' em, pixels
  int line;       // of a border
  int hatch;      // from stroke to stroke
};

Sizes sizes_for(int width) {
  return {std::max(15.0, width / 48.0), std::max(3, width / 230), std::max(8, width / 90)};
}

int enlarged_by(const PlanRecord& record) {
  const int width = std::max(1, record.separation.grid.width);
  return (narrowest_drawing + width - 1) / width;
}

Image<Rgb8> enlarged(const Image<Rgb8>& from, int factor) {
  Image<Rgb8> to(from.width() * factor, from.height() * factor);
  for (int y = 0; y < to.height(); ++y) {
    for (int x = 0; x < to.width(); ++x)
      to.at(x, y) = from.at(x / factor, y / factor);
  }
  return to;
}

// 255 where the meeting has this value, as large as the drawing.
cv::Mat mask_of(const Meeting& meeting, std::uint8_t value, int factor) {
  cv::Mat mask(meeting.where.height() * factor, meeting.where.width() * factor, CV_8U);
  for (int y = 0; y < mask.rows; ++y) {
    for (int x = 0; x < mask.cols; ++x)
      mask.at<std::uint8_t>(y, x) = meeting.where.at(x / factor, y / factor) == value ? 255 : 0;
  }
  return mask;
}

cv::Mat widened(const cv::Mat& mask, int by) {
  cv::Mat wide;
  cv::dilate(mask, wide, cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * by + 1, 2 * by + 1}));
  return wide;
}

void paint(Image<Rgb8>& drawing, const cv::Mat& mask, const Rgb8& colour) {
  for (int y = 0; y < drawing.height(); ++y) {
    for (int x = 0; x < drawing.width(); ++x) {
      if (mask.at<std::uint8_t>(y, x) != 0)
        drawing.at(x, y) = colour;
    }
  }
}

Rgb8 hatched(int x, int y, int spacing) {
  return (x + y) % spacing < std::max(2, spacing / 3) ? mark_edge_colour : hatch_ground;
}

void paint_hatched(Image<Rgb8>& drawing, const cv::Mat& mask, int spacing) {
  for (int y = 0; y < drawing.height(); ++y) {
    for (int x = 0; x < drawing.width(); ++x) {
      if (mask.at<std::uint8_t>(y, x) != 0)
        drawing.at(x, y) = hatched(x, y, spacing);
    }
  }
  // An edge round it, so that a narrow one is seen between two strokes.
  cv::Mat inside;
  cv::erode(mask, inside, cv::getStructuringElement(cv::MORPH_RECT, {3, 3}), {-1, -1}, 1, cv::BORDER_CONSTANT,
            cv::Scalar(255));
  paint(drawing, mask - inside, mark_edge_colour);
}

// Where letters may stand: not over the edge, not over one another.
class Room {
 public:
  Room(int width, int height, double letter)
      : half_width_(static_cast<int>(std::lround(0.85 * letter))),
        half_height_(static_cast<int>(std::lround(0.75 * letter))),
        free_(cv::Mat::zeros(height, width, CV_8U)) {
    const cv::Rect inner(half_width_, half_height_, width - 2 * half_width_, height - 2 * half_height_);
    if (inner.width > 0 && inner.height > 0)
      free_(inner).setTo(255);
  }
  [[nodiscard]] const cv::Mat& free() const { return free_; }
  void take(const cv::Point& at) {
    const cv::Rect box(at.x - 2 * half_width_ - 2, at.y - 2 * half_height_ - 2, 4 * half_width_ + 5,
                       4 * half_height_ + 5);
    free_(box & cv::Rect(0, 0, free_.cols, free_.rows)).setTo(0);
  }

 private:
  int half_width_, half_height_;
  cv::Mat free_;
};

// Of the deepest points of a part, the one nearest to its middle.
cv::Point best_place(const cv::Mat& part, const cv::Mat& depth, cv::Point2d middle) {
  double deepest = 0;
  cv::minMaxLoc(depth, nullptr, &deepest, nullptr, nullptr, part);
  cv::Point best{-1, -1};
  double nearest = 0;
  for (int y = 0; y < part.rows; ++y) {
    for (int x = 0; x < part.cols; ++x) {
      if (part.at<std::uint8_t>(y, x) == 0 || static_cast<double>(depth.at<float>(y, x)) < 0.7 * deepest)
        continue;
      const double distance = std::hypot(x - middle.x, y - middle.y);
      if (best.x < 0 || distance < nearest) {
        best = {x, y};
        nearest = distance;
      }
    }
  }
  return best;
}

// In the largest parts of a mask, as far as there is room; at least one.
std::vector<cv::Point> letter_places(const cv::Mat& mask, Room& room) {
  cv::Mat ids, stats, centres, depth;
  const int count = cv::connectedComponentsWithStats(mask, ids, stats, centres, 8, CV_32S);
  cv::distanceTransform(mask, depth, cv::DIST_L2, 3);
  std::vector<int> parts;
  for (int i = 1; i < count; ++i)
    parts.push_back(i);
  std::stable_sort(parts.begin(), parts.end(), [&](int a, int b) {
    return stats.at<int>(a, cv::CC_STAT_AREA) > stats.at<int>(b, cv::CC_STAT_AREA);
  });
  if (static_cast<int>(parts.size()) > most_letters_of_a_pair)
    parts.resize(most_letters_of_a_pair);
  std::vector<cv::Point> places;
  const auto try_in = [&](int part, const cv::Mat& allowed) {
    const cv::Mat here = (ids == part) & allowed;
    const cv::Point place =
        best_place(here, depth, {centres.at<double>(part, 0), centres.at<double>(part, 1)});
    if (place.x >= 0) {
      places.push_back(place);
      room.take(place);
    }
  };
  for (const int part : parts)
    try_in(part, room.free());
  if (places.empty() && !parts.empty())
    try_in(parts.front(), cv::Mat(mask.size(), CV_8U, cv::Scalar(255)));
  return places;
}

struct Letters {
  std::string letter;
  std::vector<cv::Point> places;
};

void draw_letter(Canvas& canvas, double x, double y, const std::string& letter, double size) {
  const TextStyle style{.size = size, .weight = Weight::bold, .align = Align::centre};
  const double width = std::max(1.3 * size, canvas.text_width(letter, style) + 0.5 * size),
               height = 1.3 * size;
  const double left = std::round(x - width / 2), top = std::round(y - height / 2);
  canvas.fill(left, top, std::round(width), std::round(height), {255, 255, 255});
  canvas.frame(left, top, std::round(width), std::round(height), std::max(1.0, std::round(size / 10)),
               {0, 0, 0});
  canvas.text(x, y + 0.36 * size, letter, style);
}

Image<Rgb8> marks(const PlanRecord& record, std::vector<Letters>& letters) {
  const int factor = enlarged_by(record);
  Image<Rgb8> drawing = fired_preview(record, record.view);
  for (std::size_t i = 0; i < drawing.size(); ++i)
    drawing[i] = pale(drawing[i]);
  drawing = enlarged(drawing, factor);
  const Sizes sizes = sizes_for(drawing.width());
  const std::vector<MarkedMeeting> marked = marked_meetings(record);
  Room room(drawing.width(), drawing.height(), sizes.letter);
  for (const MarkedMeeting& pair : marked)
    paint_hatched(drawing, mask_of(*pair.meeting, meets_on_another, factor), sizes.hatch);
  cv::Mat lines = cv::Mat::zeros(drawing.height(), drawing.width(), CV_8U);
  for (const MarkedMeeting& pair : marked)
    lines |= widened(mask_of(*pair.meeting, meets_beside, factor), std::max(1, sizes.line / 2));
  paint(drawing, widened(lines, std::max(1, sizes.line / 2)), {255, 255, 255});
  paint(drawing, lines, {0, 0, 0});
  for (const MarkedMeeting& pair : marked) {
    const cv::Mat both = mask_of(*pair.meeting, meets_on_another, factor) |
                         widened(mask_of(*pair.meeting, meets_beside, factor), std::max(1, sizes.line / 2));
    letters.push_back({pair.letter, letter_places(both, room)});
  }
  return drawing;
}

void draw_letters(Canvas& canvas, const std::vector<Letters>& letters, double size) {
  for (const Letters& pair : letters) {
    for (const cv::Point& at : pair.places)
      draw_letter(canvas, at.x, at.y, pair.letter, size);
  }
}

}  // namespace

Image<Rgb8> reactions_drawing(const PlanRecord& record) {
  std::vector<Letters> letters;
  const Image<Rgb8> drawing = marks(record, letters);
  Canvas canvas(drawing.width(), drawing.height());
  canvas.picture(0, 0, drawing);
  draw_letters(canvas, letters, sizes_for(drawing.width()).letter);
  return canvas.image();
}

Image<Rgb8> reactions_map(const PlanRecord& record) {
  std::vector<Letters> letters;
  const Image<Rgb8> drawing = marks(record, letters);
  const std::vector<MarkedMeeting> marked = marked_meetings(record);
  const Sizes sizes = sizes_for(drawing.width());
  const double unit = sizes.letter, top = drawing.height(), row = 1.9 * unit;
  const double width = drawing.width();
  const int strip = static_cast<int>(std::ceil(4.9 * unit + row * static_cast<double>(marked.size())));
  Canvas canvas(drawing.width(), drawing.height() + strip);
  canvas.picture(0, 0, drawing);
  draw_letters(canvas, letters, unit);

  const TextStyle plain{.size = 0.85 * unit}, bold{.size = 0.95 * unit, .weight = Weight::bold};
  canvas.text_within(unit, top + 1.5 * unit, width - 2 * unit, "Where glasses darken against each other",
                     bold);
  const double key = top + 2.9 * unit, sample = 3 * unit;
  canvas.line(unit, key - 0.3 * unit, unit + sample, key - 0.3 * unit, sizes.line, {0, 0, 0});
  const std::string beside = "side by side", on = "one on the other";
  canvas.text(unit + sample + 0.5 * unit, key, beside, plain);
  const double second = unit + sample + 1.7 * unit + canvas.text_width(beside, plain);
  Image<Rgb8> hatch(static_cast<int>(sample), static_cast<int>(unit));
  for (int y = 0; y < hatch.height(); ++y) {
    for (int x = 0; x < hatch.width(); ++x)
      hatch.at(x, y) = hatched(x, y, sizes.hatch);
  }
  canvas.picture(static_cast<int>(second), static_cast<int>(key - 0.8 * unit), hatch);
  canvas.text(second + sample + 0.5 * unit, key, on, plain);
  double y = top + 4.6 * unit;
  for (const MarkedMeeting& pair : marked) {
    draw_letter(canvas, 1.8 * unit, y, pair.letter, 0.95 * unit);
    const Reaction& reaction = pair.meeting->pair;
    canvas.text_within(3.2 * unit, y + 0.3 * unit, width - 4 * unit,
                       names_of(record, reaction, Naming::names) + " (" + spoken(reaction.chemistry) +
                           "): " + extent_of(*pair.meeting),
                       plain);
    y += row;
  }
  return canvas.image();
}

}  // namespace powderplan
