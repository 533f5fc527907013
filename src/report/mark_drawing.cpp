#include "report/mark_drawing.h"

#include "photo/card.h"

namespace powderplan {
namespace {

// Rings: strokes as wide as the ring, on the circle in its middle.
void ring(PdfDocument& pdf, PointMm middle, double outer, double inner) {
  pdf.circle(middle, (outer + inner) / 2, {.width = outer - inner});
}

}  // namespace

void draw_mark(PdfDocument& pdf, PointMm middle, bool first) {
  ring(pdf, middle, mark_radii[0], mark_radii[1]);
  ring(pdf, middle, mark_radii[2], first ? mark_radii[3] : 0);
}

}  // namespace powderplan
