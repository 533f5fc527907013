// Where the hand begins, on pictures of lines.
#pragma once

#include "layers/line_paths.h"
#include "report/preview.h"

namespace powderplan {

// A dot at the beginning of the first line, and the numbers of the lines beside their beginnings, as many as
// there is room for. The picture shows the whole piece, `width` wide.
Image<Rgb8> with_numbers(const Image<Rgb8>& picture, const LinePlan& lines, Millimetres width);

}  // namespace powderplan
