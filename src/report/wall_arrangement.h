// How the parts of a page that is not broken are arranged: a picture of the piece as large as what stands
// around it leaves, in the largest letters that allow that.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "problem.h"
#include "report/page_column.h"
#include "report/piece_drawing.h"
#include "report/wall_pages.h"

namespace powderplan {

// A picture of the piece with a caption, words in two columns, and maybe a panel that belongs to the picture.
// The picture takes what the words leave.
struct PanelDrawing {
  double width = 0, height = 0;
  std::function<void(PointMm top_left, double width)> draw;
};
struct PictureWithWords {
  Markup caption;
  double caption_size = 3;
  bool caption_has_key = false;  // of the mark's colour
  PageColumn first, second;
  std::optional<PanelDrawing> panel;
};
struct WordsPlaced {
  PiecePlace picture;
  PointMm caption, first, second, panel;
  double caption_width = 0, first_width = 0, second_width = 0, panel_width = 0;
};
// The arrangement with the largest picture; nothing when the words do not fit into the room, or it is none.
std::optional<WordsPlaced> place_words(const WallPlan& plan, const PictureWithWords& parts,
                                       const BoxMm& room);
void draw_words(const WallPlan& plan, const PictureWithWords& parts, const WordsPlaced& placed);

// The same of a page whose picture is all that can get smaller: it takes `room`; nothing when that is none.
struct PicturePlaced {
  PiecePlace picture;
};
std::optional<PicturePlaced> place_picture(const WallPlan& plan, const BoxMm& room);

// Whether a picture's diagonal is at least so long, mm on A4, or the piece so small that it need not be.
bool large_enough(const WallPlan& plan, const PiecePlace& place, double diagonal);
inline constexpr double least_diagonal = 70;
// So long before letters at this scale stay as large as they are: smaller letters before a smaller picture.
double wanted_diagonal(double scale);

// The drawing of a page whose letters are as large as it allows: `make` gives the page at a scale, its
// `placed(room)` says where its parts lie, or nothing when they do not fit, and `draw(room, placed)` draws
// them. Throws Problem (other) when they do not even fit with the smallest letters.
template <class Page, class Make, class Enough>
std::function<void(const BoxMm&)> largest_type(const std::string& name, const Make& make,
                                               const Enough& enough, const BoxMm& room) {
  const std::vector<double> scales = type_scales();
  for (const double scale : scales) {
    const std::shared_ptr<Page> page = make(scale);
    const auto placed = page->placed(room);
    if (placed && (enough(*placed, scale) || scale == scales.back()))
      return [page, placed](const BoxMm& place) { page->draw(place, *placed); };
  }
  throw Problem(ProblemKind::other, "worksheet.pdf", "\"" + name + "\" does not fit on its page",
                "choose larger paper with --paper a3");
}

}  // namespace powderplan
