// Strokes: what is drawn thinner than a stencil can make, taken out of the picture.
//
// A stroke is what a closing or an opening by a disc of the smallest width takes away (the top-hat: Meyer
// 1979, Serra 1982), where that is clearly different from what lies beside it, and long against its width.
// Lightness is looked at first, then what is left in a* and b*, then what is drawn on bare sheet.
#pragma once

#include <cstdint>

#include "raster/image.h"
#include "separation/target.h"
#include "units.h"

namespace powderplan {

struct StrokeRules {
  Millimetres smallest{2.0};  // what is narrower than this, no stencil can make
  // Differences in one of L*, a*, b* from what lies beside: a stroke has the first somewhere, and the second
  // wherever it goes on.
  double contrast = 12;
  double faint = 6;
  // A stroke is at least so long, and so many times as long as wide; the rest is dust. Pieces with gaps up to
  // `gap` between them count as one.
  Millimetres shortest{5.0};
  double slender = 4;
  Millimetres gap{1.5};
  // A part of a stroke may swell to so many times `smallest`, where the thin strokes that meet it are
  // together at least as long as it is.
  double swelling = 2;
  // Pictures of which less is drawn have no strokes (see drawing_share); 0: no picture is refused.
  double least_drawing_share = 0.65;
  Lab sheet{100, 0, 0};  // how bare sheet looks: what strokes on it are told from
};

// A stroke is drawn where the ground beside it is even: neighbouring points of it differ by at most this
// share of the stroke's own contrast, on average. In photos fine detail lies among more fine detail.
inline constexpr double even_ground = 0.015;

struct StrokeMap {
  // 0 none; 1 darker than its ground, or on bare sheet; 2 lighter, or bare itself. Equal lightness counts as
  // darker.
  Image<std::uint8_t> on;
  // How much of each point a stroke covers, 0 to 255; a stroke is `on` from a half. A solid area of the same
  // colour that a stroke runs into counts as covered as far as `smallest` from the stroke.
  Image<std::uint8_t> cover;
  // The colour of the stroke itself, without what is mixed in along its edges; set where it is `on`.
  Image<PackedLab> ink;
  // The wanted picture without its strokes: filled from what lies nearest beside them.
  Image<PackedLab> ground;
  Image<std::uint8_t> ground_bare;
  // How far the picture is a drawing, 0..1: of what the disc takes away anywhere (squared difference), the
  // share that lies in strokes on even ground. Near 1 in drawings, whatever solid areas they have; some
  // tenths in photos. 0 where there is nothing narrow. Where it is far too little, it is that of the picture
  // at half its sharpness.
  double drawing_share = 0;
};

// The picture as it is tells where strokes are; `ground` and `ink` are in the colours that are wanted.
// Deterministic, whatever the number of threads.
StrokeMap find_strokes(const Target& target, const StrokeRules& rules);

// 1 where strokes of one kind are.
Image<std::uint8_t> strokes_of_kind(const StrokeMap& strokes, std::uint8_t kind);

}  // namespace powderplan
