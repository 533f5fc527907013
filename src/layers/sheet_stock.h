// What a stencil is cut from: how far a sheet bends when it is lifted with powder on it, and which to take.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "layers/stencil.h"
#include "units.h"

namespace powderplan {

struct SheetStock {
  std::string_view name;
  Millimetres thickness;
  double modulus_gpa;     // in bending, the lower of both directions
  double density_kg_m3;   // of the whole sheet
  Millimetres narrowest;  // opening or web that a knife makes without tearing or crushing it
  int passes;             // of the knife until it is through
};

// Generic materials, thinnest first. Moduli and densities: ranges of materials handbooks, from memory, their
// lower part taken; foam board as a solid of the same stiffness. Narrowest widths and passes: common
// practice, no source.
std::span<const SheetStock> sheet_stocks();

// A sheet lifted by two opposite edges of its border.
struct Lift {
  bool by_upright_edges = false;  // the left and the right one; else the top and the bottom one
  Millimetres span;               // between them
  Millimetres sag;                // of the lowest point below the edges
  double slope_deg = 0;           // of the steepest place, from the horizontal
};

// By those edges that leave the sheet flatter, with `overspill` on all that is not opening. The sheet is a
// beam between two supports whose width at each place is what the openings leave of it; weight and stiffness
// go with this width. Deflection by integrating curvature = moment / (E I) twice (Timoshenko, Strength of
// Materials, part I); with no openings sag = 5 q L^4 / (384 E I) and slope = q L^3 / (24 E I), the strip
// under even load of Roark's Formulas for Stress and Strain (table of straight beams, both ends supported).
// Straight-beam theory holds for slopes up to some 10 degrees; beyond, the figures only say "too much".
Lift lift_of(const Stencil& stencil, const SheetStock& stock, Load overspill);

struct StockRules {
  Load overspill;                       // on the sheet when it is lifted
  Millimetres narrowest{2.0};           // opening or web of the stencil
  std::optional<Millimetres> raised{};  // height of the spacers below a raised stencil
};

struct StockChoice {
  SheetStock stock;
  Lift lift;
  bool stiff_enough = false;
  std::string reason;  // a few sentences with the figures
};

// The thinnest sheet that can be cut as narrow as asked and lifted with its powder: nowhere steeper than
// steepest_lift_deg, and above spacers sagging by less than half their height, so that it clears the powder
// below. Where none is, the flattest of those that can be cut, and the reason says what helps.
StockChoice choose_stock(const Stencil& stencil, const StockRules& rules);

// Dry sharp-edged powder begins to slide on paper and film at 25 to 35 degrees (angles of repose, from
// memory); hands tilt and shake the sheet, so less than half of that is left to its own bend.
inline constexpr double steepest_lift_deg = 10;

}  // namespace powderplan
