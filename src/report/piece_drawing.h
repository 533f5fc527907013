// The piece on a printed page: a picture of it at true proportions, with a millimetre scale along its edges.
#pragma once

#include "layers/fade_bench.h"
#include "report/pdf_document.h"
#include "report/plan_record.h"

namespace powderplan {

// Where the picture lies within a room, scale included: as large as fits, at the top, in the middle between
// left and right, at most `most_enlarged` times the piece.
struct PiecePlace {
  BoxMm picture;    // without its scale
  double zoom = 0;  // mm on the page for one on the piece
};
inline constexpr double most_enlarged = 3;
PiecePlace piece_place(const PlanRecord& record, const BoxMm& room);
// How much of the room below it stays free starts here.
double bottom_of(const PiecePlace& place);

void draw_piece(PdfDocument& pdf, const PlanRecord& record, const Image<Rgb8>& picture, PictureCoding coding,
                const PiecePlace& place);

// Onto the picture of a fade's step: its lines of equal load with their shares, ways, and where to start.
void draw_fade(PdfDocument& pdf, const PlanRecord& record, std::size_t layer, const FadeBench& bench,
               const PiecePlace& place);

// Names of places on the piece (mm on it), readable on any ground. One that would lie on another stands
// beside its place, with a line to it.
struct PlaceName {
  PointMm at;
  std::string name;
};
void draw_names(PdfDocument& pdf, const std::vector<PlaceName>& names, double size, const PiecePlace& place);

}  // namespace powderplan
