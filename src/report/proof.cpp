#include "report/proof.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "colour/observer.h"
#include "report/close_up.h"
#include "report/lit_piece.h"
#include "report/preview.h"
#include "report/proof_page.h"
#include "report/proof_words.h"
#include "report/surface.h"

namespace powderplan {
namespace {

// All lengths below are mm on the page.
constexpr double edge = 15, gap = 6, column_gap = 5.5;
constexpr double caption_size = 2.6, body_size = 2.8, heading_size = 3.3;
constexpr double caption_room = 5.5, ruler_room = 7.5, heading_room = 4.8;
constexpr double close_up_width = 62, close_up_height = 56, low_close_up = 46;
// Round the piece on its wall: room for its dimensions.
constexpr double gutter_left = 23, gutter_right = 13, gutter_top = 8, gutter_bottom = 13;
// The same on a low wall.
constexpr double lowest_wall = 32, low_wall = 70, gutter_low_top = 4.5, gutter_low_bottom = 10.5;
// A small piece is not shown larger than this.
constexpr double most_enlarged = 2;
// From here on a piece is tall and has the left of the page to itself.
constexpr double tall = 1.15;
constexpr double thumb_gap = 3, all_thumbs_high = 36, thumb_caption = 7.8, narrowest_thumb = 22;
constexpr double grey_text = 0.36, black = 0;

const PageText caption{.size = caption_size, .grey = grey_text};
const PageText body{.size = body_size, .line_pitch = 1.38};
const PageText heading{.size = heading_size, .weight = Weight::bold};

Paper page_of(const Paper& paper) {
  return paper.name == paper_letter.name || paper.name == paper_tabloid.name ? paper_letter : paper_a4;
}

double width_of(const BoxMm& box) {
  return box.right - box.left;
}
double height_of(const BoxMm& box) {
  return box.bottom - box.top;
}

// Lines that can be told from the wall they are drawn on.
double ink_on_wall(const PlanRecord& record) {
  constexpr double half_light = 0.3;
  const bool dark = record.view == View::wall && Observer(light_of(record))(record.backing).y < half_light;
  return dark ? 0.95 : 0.15;
}

Image<Rgb8> upper_part(const Image<Rgb8>& picture, int height) {
  Image<Rgb8> part(picture.width(), height);
  std::copy(picture.data(), picture.data() + part.size(), part.data());
  return part;
}

class Proof {
 public:
  Proof(ProofPage& page, const PlanRecord& record, const ProofPictures& pictures, const Image<Rgb8>& room,
        const Paper& paper)
      : page_(page),
        record_(record),
        pictures_(pictures),
        room_(room),
        words_(proof_words(record)),
        right_(paper.width.value() - edge),
        bottom_(paper.height.value() - edge) {}

  void draw() {
    const BoxMm box{edge, header() + gap, right_, signatures() - gap};
    if (!room_.empty())
      with_room(box);
    else if (record_.height / record_.width > tall)
      tall_piece(box);
    else
      wide_piece(box);
  }

 private:
  double title_lines(double width, const PageText& style) {
    return std::round(page_.paragraph_height(width, record_.title, style) / (style.size * style.line_pitch));
  }

  // As large as it can be on one line, or, long, on two.
  PageText title_style(double width) {
    constexpr double largest = 8.4, smallest_of_one = 6.6, smallest = 4.8;
    PageText style{.size = largest, .weight = Weight::bold, .line_pitch = 1.2};
    while (style.size > smallest && title_lines(width, style) > (style.size > smallest_of_one ? 1 : 2))
      style.size *= 0.95;
    return style;
  }

  // Returns how far down it reaches.
  double header() {
    constexpr double studio_width = 62;
    page_.text_within({edge, edge + 3}, right_ - edge - studio_width - gap,
                      "Proof of a piece in fused glass powder", {.size = 3.3, .grey = grey_text});
    const double studio = right_ - studio_width;
    page_.text_within({studio, edge + 3}, 14, "Studio", {.size = 3.3, .grey = grey_text});
    page_.line({studio + 14, edge + 3.6}, {right_, edge + 3.6}, 0.25, grey_text);

    const double width = right_ - edge;
    double y = edge + 15;
    const PageText style = title_style(width);
    y = title_lines(width, style) <= 2
            ? page_.paragraph({edge, y}, width, record_.title, style) - style.size * style.line_pitch
            : (page_.text_within({edge, y}, width, record_.title, style), y);
    const PageText line{.size = 3.8};
    return page_.paragraph({edge, y + 7.2}, width, words_.piece, line) - line.size * line.line_pitch + 1;
  }

  // From the bottom up; returns where it begins.
  double signatures() {
    constexpr double date_width = 26, room_to_sign = 12;
    const double width = right_ - edge, half = (width - 2 * gap) / 2;
    const double line_y = bottom_ - 4.5;
    for (int i = 0; i < 2; ++i) {
      const double x = edge + i * (half + 2 * gap), date = x + half - date_width;
      page_.line({x, line_y}, {date - 4, line_y}, 0.3, black);
      page_.line({date, line_y}, {x + half, line_y}, 0.3, black);
      page_.text_within({x, line_y + 4}, date - 4 - x,
                        i == 0 ? "For the client: name and signature" : "For the studio: name and signature",
                        caption);
      page_.text_within({date, line_y + 4}, date_width, "Date", caption);
    }
    const double text_height = page_.paragraph_height(width, words_.agreed, body);
    const double top = line_y - room_to_sign - text_height - heading_room;
    page_.line({edge, top - 1}, {right_, top - 1}, 0.3, black);
    page_.text_within({edge, top + 4.2}, width, "Agreed", heading);
    page_.paragraph({edge, top + 4.2 + heading_room}, width, words_.agreed, body);
    return top - 1;
  }

  // Heading and text; returns where the next may begin.
  double column(PointMm place, double width, const char* title, const std::string& text) {
    page_.text_within({place.x, place.y + heading_size}, width, title, heading);
    return page_.paragraph({place.x, place.y + heading_size + heading_room}, width, text, body) -
           body_size * (body.line_pitch - 0.3) + 4;
  }
  double column_height(double width, const std::string& text) {
    return heading_size + heading_room + page_.paragraph_height(width, text, body) -
           body_size * (body.line_pitch - 0.3) + 4;
  }

  // The piece over the whole width; below it three columns.
  void wide_piece(const BoxMm& box) {
    const double of_close_up = width_of(pictures_.close_up_at) > close_up_width / 2
                                   ? width_of(pictures_.close_up_at)
                                   : close_up_width;
    const double rest = (width_of(box) - of_close_up - 2 * column_gap) / 2;
    const double row =
        std::max({close_up_block(), making_height(rest),
                  column_height(rest, words_.colour) + column_height(rest, words_.by_hand) - 4});
    const double top = box.bottom - row;
    piece({box.left, box.top, box.right, top - gap - caption_room});
    close_up({box.left, top});
    const double second = box.left + of_close_up + column_gap, third = second + rest + column_gap;
    making({second, top}, rest);
    column({third, column({third, top}, rest, "Colour", words_.colour)}, rest, "Made by hand",
           words_.by_hand);
  }

  // The piece at the left; beside it the close-up and the firings, below both the words.
  void tall_piece(const BoxMm& box) {
    const double half = (width_of(box) - column_gap) / 2;
    const double words =
        std::max(column_height(half, words_.colour), column_height(half, words_.by_hand)) - 4;
    const double words_top = box.bottom - words, beside = box.right - close_up_width;
    piece({box.left, box.top, beside - column_gap, words_top - gap - caption_room});
    close_up({beside, box.top});
    making({beside, box.top + close_up_block() + gap}, close_up_width);
    column({box.left, words_top}, half, "Colour", words_.colour);
    column({box.left + half + column_gap, words_top}, half, "Made by hand", words_.by_hand);
  }

  // The client's room first; the piece and the close-up side by side below it.
  void with_room(const BoxMm& box) {
    const std::string made = words_.making + " " + firing_list();
    const double third = (width_of(box) - 2 * column_gap) / 3;
    const double words = std::max({column_height(third, made), column_height(third, words_.colour),
                                   column_height(third, words_.by_hand)}) -
                         4;
    const double words_top = box.bottom - words, row = close_up_block(low_close_up),
                 low = words_top - gap - row;
    // The room keeps its proportions; it is as large as the page allows.
    const double high = low - gap - caption_room - box.top;
    const double proportion = static_cast<double>(room_.height()) / room_.width();
    const double width = std::min(width_of(box), high / proportion), height = width * proportion;
    const double left = box.left + (width_of(box) - width) / 2;
    page_.picture({left, box.top, left + width, box.top + height}, room_);
    page_.text_within({left, box.top + height + 4}, width, "The piece in its room, to scale.", caption);
    piece({box.left, low, box.right - close_up_width - column_gap, low + row - caption_room});
    close_up({box.right - close_up_width, low}, low_close_up);
    column({box.left, words_top}, third, "How it is made", made);
    column({box.left + third + column_gap, words_top}, third, "Colour", words_.colour);
    column({box.left + 2 * (third + column_gap), words_top}, third, "Made by hand", words_.by_hand);
  }

  [[nodiscard]] std::string firing_list() const {
    std::string text;
    for (std::size_t k = 0; k < record_.firing_plan.firings.size(); ++k)
      text += fmt::format("{}{}. {}", k == 0 ? "Firings: " : "; ", k + 1,
                          heat_words(record_.firing_plan.firings[k]));
    return text.empty() ? text : text + ".";
  }

  void piece(BoxMm wall) {
    // However much stands below: the piece is seen.
    wall.bottom = std::max(wall.bottom, wall.top + lowest_wall);
    const double w = record_.width.value(), h = record_.height.value();
    const bool low = height_of(wall) < low_wall;
    const double over = low ? gutter_low_top : gutter_top, under = low ? gutter_low_bottom : gutter_bottom;
    const double scale = std::min({(width_of(wall) - gutter_left - gutter_right) / w,
                                   (height_of(wall) - over - under) / h, most_enlarged});
    const double spare = width_of(wall) - gutter_left - gutter_right - w * scale;
    // In the middle of the wall where it can be.
    const double left =
        wall.left + std::max(gutter_left, (width_of(wall) - w * scale) / 2 -
                                              std::max(0.0, (gutter_left - gutter_right) / 2 - spare));
    const double top = wall.top + over + (height_of(wall) - over - under - h * scale) / 2;
    const double right = left + w * scale, bottom = top + h * scale;
    page_.picture(wall, lit_piece(record_, moment_finished(record_), record_.view, pictures_.surface,
                                  {(left - wall.left) / scale, (top - wall.top) / scale,
                                   (wall.right - right) / scale, (wall.bottom - bottom) / scale}));
    frame(wall);
    dimensions({left, top, right, bottom});
    page_.text_within({wall.left, wall.bottom + 4}, width_of(wall), shown_words(scale), caption);
  }

  [[nodiscard]] std::string shown_words(double scale) const {
    const std::string place = record_.view == View::wall ? "on its wall, lit from above left"
                                                         : "with the light of a window behind it";
    if (std::abs(scale - 1) < 0.005)
      return fmt::format("The piece at its true size, {}.", place);
    return fmt::format("The piece at {:.0f} % of its size, {}.", scale * 100, place);
  }

  // So that a white wall ends somewhere on white paper.
  void frame(const BoxMm& box) {
    constexpr double line = 0.15, grey = 0.72;
    page_.line({box.left, box.top}, {box.right, box.top}, line, grey);
    page_.line({box.left, box.bottom}, {box.right, box.bottom}, line, grey);
    page_.line({box.left, box.top}, {box.left, box.bottom}, line, grey);
    page_.line({box.right, box.top}, {box.right, box.bottom}, line, grey);
  }

  void dimensions(const BoxMm& at) {
    constexpr double off = 4.5, tick = 1.4;
    const double ink = ink_on_wall(record_);
    const double y = at.bottom + off, x = at.left - off;
    page_.line({at.left, y}, {at.right, y}, 0.2, ink);
    page_.line({x, at.top}, {x, at.bottom}, 0.2, ink);
    for (const double end : {at.left, at.right})
      page_.line({end, y - tick}, {end, y + tick}, 0.2, ink);
    for (const double end : {at.top, at.bottom})
      page_.line({x - tick, end}, {x + tick, end}, 0.2, ink);
    PageText style{.size = 3.1, .align = Align::centre, .grey = ink};
    page_.text_within({(at.left + at.right) / 2, y + 4.6}, 40,
                      fmt::format("{:.0f} mm", record_.width.value()), style);
    style.align = Align::right;
    page_.text_within({x - 2.4, (at.top + at.bottom) / 2 + 1.1}, 18,
                      fmt::format("{:.0f} mm", record_.height.value()), style);
  }

  [[nodiscard]] double close_up_block(double highest = close_up_height) const {
    return std::min(highest, height_of(pictures_.close_up_at)) + caption_room + ruler_room;
  }

  // No higher than so: then its upper part.
  void close_up(PointMm place, double highest = close_up_height) {
    BoxMm part = pictures_.close_up_at;
    const Image<Rgb8>* shown = &pictures_.close_up;
    Image<Rgb8> upper;
    if (height_of(part) > highest) {
      upper = upper_part(*shown, static_cast<int>(std::lround(shown->height() * highest / height_of(part))));
      shown = &upper;
      part.bottom = part.top + highest;
    }
    const double bottom = place.y + height_of(part);
    page_.picture({place.x, place.y, place.x + width_of(part), bottom}, *shown);
    const bool whole = width_of(part) >= record_.width.value() && height_of(part) >= record_.height.value();
    page_.text_within({place.x, bottom + 4}, close_up_width,
                      whole ? std::string("The whole piece at its true size")
                            : std::string("A part of the surface at its true size"),
                      caption);
    const double length = std::floor(width_of(part) / 10) * 10;
    if (length < 10)
      return;
    const double y = bottom + caption_room + 2.2;
    page_.line({place.x, y}, {place.x + length, y}, 0.2, grey_text);
    for (int mm = 0; mm <= static_cast<int>(length); mm += 5)
      page_.line({place.x + mm, y}, {place.x + mm, y + (mm % 10 == 0 ? 2.0 : 1.2)}, 0.2, grey_text);
    page_.text_within({place.x, y + 4.9}, close_up_width,
                      fmt::format("{:.0f} mm when printed at 100 %", length),
                      {.size = 2.4, .grey = grey_text});
  }

  struct Thumbs {
    int columns = 0, rows = 0;
    double width = 0, height = 0;
  };

  [[nodiscard]] Thumbs thumbs_in(double width) const {
    Thumbs best;
    const int count = static_cast<int>(pictures_.firings.size());
    const double proportion = record_.height / record_.width;
    // No more of them than leave their captions room.
    const int most = std::max(1, static_cast<int>((width + thumb_gap) / (narrowest_thumb + thumb_gap)));
    // None at all where nothing is fired.
    for (int columns = std::max(1, std::min({count, 2, most})); columns <= std::min({count, 6, most});
         ++columns) {
      Thumbs thumbs{columns, (count + columns - 1) / columns, 0, 0};
      thumbs.width =
          std::min((width - (columns - 1) * thumb_gap) / columns, all_thumbs_high / thumbs.rows / proportion);
      thumbs.height = thumbs.width * proportion;
      if (thumbs.width > best.width)
        best = thumbs;
    }
    return best;
  }

  double making_height(double width) {
    const Thumbs thumbs = thumbs_in(width);
    return column_height(width, words_.making) + thumbs.rows * (thumbs.height + thumb_caption) - thumb_gap;
  }

  void making(PointMm place, double width) {
    const double top = column(place, width, "How it is made", words_.making) - 1.5;
    const Thumbs thumbs = thumbs_in(width);
    const PageText number{.size = 2.4}, heat{.size = 2.4, .grey = grey_text};
    for (std::size_t k = 0; k < pictures_.firings.size(); ++k) {
      const int i = static_cast<int>(k);
      const double cell = (width - (thumbs.columns - 1) * thumb_gap) / thumbs.columns;
      const int across = i % thumbs.columns, down = i / thumbs.columns;
      const double x = place.x + across * (cell + thumb_gap);
      const double y = top + down * (thumbs.height + thumb_caption);
      page_.picture({x, y, x + thumbs.width, y + thumbs.height}, pictures_.firings[k].after);
      const Firing& firing = record_.firing_plan.firings[k];
      page_.text_within({x, y + thumbs.height + 3}, cell,
                        fmt::format("{}. {} finish", k + 1, name_of(firing.finish)), number);
      if (!firing.segments.empty())
        page_.text_within({x, y + thumbs.height + 6}, cell,
                          fmt::format("up to {:.0f} \u00b0C", top_of(firing.segments).value()), heat);
    }
  }

  ProofPage& page_;
  const PlanRecord& record_;
  const ProofPictures& pictures_;
  const Image<Rgb8>& room_;
  ProofWords words_;
  double right_, bottom_;
};

// Width in pixels of the picture of the surface.
int surface_width(const PlanRecord& record) {
  const Millimetres longer = std::max(record.width, record.height);
  const Millimetres pitch = std::max(longer / surface_pixels, close_up_pitch / most_enlarged);
  return std::max(1, static_cast<int>(std::lround(record.width / pitch)));
}

}  // namespace

int mean_picture_width(const PlanRecord& record) {
  // Where most is going on is looked for a millimetre at a time (report/close_up.h).
  return std::max(surface_width(record), static_cast<int>(std::lround(record.width.value())));
}

BoxMm close_up_place(const PlanRecord& record, const Image<Rgb8>& mean) {
  return busiest_part(mean, record.width, Millimetres(close_up_width), Millimetres(close_up_height));
}

ProofPictures proof_pictures(const PlanRecord& record, const Image<Rgb8>& mean,
                             std::vector<FiringPictures> firings) {
  ProofPictures pictures;
  const Moment finished = moment_finished(record);
  pictures.surface = surface_of_piece(record, finished, record.view, mean, surface_width(record));
  pictures.close_up_at = close_up_place(record, mean);
  pictures.close_up = surface_part(record, finished, record.view, pictures.close_up_at, close_up_pitch);
  pictures.firings = std::move(firings);
  return pictures;
}

ProofPictures proof_pictures(const PlanRecord& record) {
  return proof_pictures(record, fired_preview(record, record.view),
                        firing_pictures(record, strip_picture_width));
}

FinishedPicture finished_picture(const PlanRecord& record, const ProofPictures& pictures) {
  const double margin = 0.09 * std::max(record.width.value(), record.height.value());
  return {lit_piece(record, moment_finished(record), record.view, pictures.surface,
                    {margin, margin, margin, margin}),
          record.width / pictures.surface.width()};
}

Image<Rgb8> proof(const PlanRecord& record, const ProofPictures& pictures, const Image<Rgb8>& room) {
  const Paper paper = page_of(record.paper);
  PictureProofPage page(paper.width, paper.height, proof_pitch);
  Proof(page, record, pictures, room, paper).draw();
  return page.image();
}

std::vector<std::uint8_t> proof_pdf(const PlanRecord& record, const ProofPictures& pictures,
                                    const Image<Rgb8>& room) {
  const Paper paper = page_of(record.paper);
  PdfProofPage page(record.title, paper.width, paper.height);
  Proof(page, record, pictures, room, paper).draw();
  return page.bytes();
}

}  // namespace powderplan
