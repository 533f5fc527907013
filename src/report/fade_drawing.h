// What is drawn onto the picture of a fade's step, in millimetres on the piece.
#pragma once

#include <string>
#include <vector>

#include "layers/fade_bench.h"

namespace powderplan {

// Where the share of a level is written: beside its lines, apart from all other marks.
struct LevelMark {
  PointMm at;
  double share = 0;
};

// From a place where much lies towards one where little does.
struct FadeArrow {
  PointMm from, to;
};

struct FadeDrawing {
  std::vector<LevelMark> marks;
  std::vector<FadeArrow> arrows;
  std::vector<PointMm> starts;  // moved so far inwards that a mark of the letter's size fits on the piece
};

// `letter`: height of the letters.
FadeDrawing fade_drawing(const FadeBench& bench, const Layer& layer, const Grid& grid, Millimetres letter);

}  // namespace powderplan
