// The commands' work, as it stands in the libraries that are opened when a command runs (app/entries/).
//
// What a command does lies in the library that draws in no more of others' libraries than it uses:
//   app       the words of all commands, their help and what is said of a wrong command line
//   text      reads text and tells in text
//   stock     text, and fingerprints of files (OpenSSL)
//   drawing   charts and pages (cairo, Pango)
//   pictures  picks pictures apart and makes plans (picture formats, OpenCV)
//   compare   also OpenCV's tracking, which draws in most of OpenCV
// Each is linked against those before it, so that no code is there twice.
#pragma once

#include <iosfwd>

#include "app/compare_flags.h"
#include "app/fit_flags.h"
#include "app/heat_flags.h"
#include "app/options_flags.h"
#include "app/palette_flags.h"
#include "app/plan_flags.h"
#include "app/proof_flags.h"
#include "app/stock_flags.h"
#include "app/tile_flags.h"

namespace powderplan {

// Runs one command whose flags are read. Throws Problem or Interrupted, as the command does.
template <class Options>
using Entry = void(const Options& options, std::ostream& out, std::ostream& err);

}  // namespace powderplan

// By these plain names they are looked up.
extern "C" {
// app: the whole program, on the standard streams; returns the exit code.
int powderplan_run(int argc, const char* const* argv);
// text
powderplan::Entry<powderplan::HeatOptions> powderplan_heat;        // without --plot
powderplan::Entry<powderplan::PaletteOptions> powderplan_palette;  // without --out
// stock
powderplan::Entry<powderplan::StockOptions> powderplan_stock;
// drawing
powderplan::Entry<powderplan::HeatOptions> powderplan_heat_plot;
powderplan::Entry<powderplan::PaletteOptions> powderplan_palette_chart;
powderplan::Entry<powderplan::CompareOptions> powderplan_cards;  // compare --cards
// pictures
powderplan::Entry<powderplan::PlanOptions> powderplan_plan;
powderplan::Entry<powderplan::OptionsOptions> powderplan_options;
powderplan::Entry<powderplan::TileOptions> powderplan_tile;
powderplan::Entry<powderplan::FitOptions> powderplan_fit;
powderplan::Entry<powderplan::ProofOptions> powderplan_proof;
// compare
powderplan::Entry<powderplan::CompareOptions> powderplan_compare;  // without --cards
}
