// Openings of one shape that come again and again: cut once as a small template, laid at every place.
#pragma once

#include <cstddef>
#include <vector>

#include "layers/stencil.h"
#include "shape.h"
#include "units.h"

namespace powderplan {

struct RepeatRules {
  Millimetres tolerance{0.3};    // largest distance between two outlines that count as one shape
  bool turned = true;            // places may be turned by any angle (never mirrored)
  std::size_t least_places = 3;  // fewer are not worth a template
  Millimetres least_size{8};     // across, twice the farthest point from the centre; dots are no shapes
  Millimetres margin{15};        // of the small template round its shape
};

struct RepeatPlace {
  std::size_t opening = 0;  // index into the openings
  PointMm centre;           // where the shape's centre lies on the piece
  double angle_deg = 0;     // clockwise as seen, from the pose of the first; above -180, at most 180
  double distance = 0;      // largest between the shape there and the opening itself, mm
};

struct Repeat {
  PolygonMm shape;                  // around its own centre, in the pose of the first place
  std::vector<RepeatPlace> places;  // in the order of the openings
  Millimetres saved_cut;            // what need not be cut when one small template makes them all
  // Places (indices into `places`) where another opening lies below the small template and its margin: its
  // powder would be touched if it is there already.
  std::vector<std::size_t> too_close;
};

// Groups in the order of their first openings: the first that is in no group yet takes all later ones that
// fit it. Outlines are compared as outline_match.h says.
std::vector<Repeat> find_repeats(const std::vector<PolygonMm>& openings, const RepeatRules& rules);

// The small template: a sheet of its own with one opening, in the pose of the first. Its pin holes are marks
// to lay it by: one in the middle of each margin, on the lines through the shape's centre, and a second one
// to the right of the upper, which tells the top.
Stencil small_template(const Repeat& repeat, const RepeatRules& rules);

}  // namespace powderplan
