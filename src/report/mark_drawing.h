// The mark by which a card is found in a photo (photo/card.h), drawn at true size.
#pragma once

#include "report/pdf_document.h"

namespace powderplan {

// `first`: the one with the white eye.
void draw_mark(PdfDocument& pdf, PointMm middle, bool first);

}  // namespace powderplan
