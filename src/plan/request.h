// Everything a user can ask of a plan, as plain data. A piece file and the command line both fill it.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "firing/firing.h"
#include "layers/cut_stencil.h"
#include "layers/panel_cuts.h"
#include "optics/stack.h"
#include "raster/fit.h"
#include "raster/picture.h"
#include "report/paper.h"
#include "units.h"
#include "weigh/weigh.h"

namespace powderplan {

enum class RangeFit {
  fit,   // the picture's lightness and chroma are brought into what the shelf reaches
  keep,  // the picture is taken as it is
};

// Ways of putting powder down that a plan may use.
struct Techniques {
  bool stencil = true, fade = true, line = true;
  friend bool operator==(const Techniques&, const Techniques&) = default;
};

// One technique for one powder.
struct TechniqueWish {
  std::string powder;  // id
  std::string technique;
  friend bool operator==(const TechniqueWish&, const TechniqueWish&) = default;
};

// What the user fixes of one powder.
struct FiringOfPowder {
  std::string powder;  // id
  int firing = 1;      // from 1
  friend bool operator==(const FiringOfPowder&, const FiringOfPowder&) = default;
};
struct FinishOfPowder {
  std::string powder;  // id
  Finish finish = Finish::full;
  friend bool operator==(const FinishOfPowder&, const FinishOfPowder&) = default;
};

// Whether two powders that react are to touch.
struct ReactionWish {
  std::string one, other;  // ids
  bool wanted = false;     // else they are kept apart
  friend bool operator==(const ReactionWish&, const ReactionWish&) = default;
};

inline constexpr Millimetres usual_bridge{2.0};

struct PlanRequest {
  std::filesystem::path image;
  std::vector<std::filesystem::path> palettes;      // at least one
  std::optional<std::filesystem::path> piece_file;  // where the request came from, for the record
  std::string title;                                // empty: from the image's name

  PieceSize size;  // of the piece; the width must be given
  CropBox crop;
  FitMode fit = FitMode::fill;
  Millimetres pitch{0.25};  // of the grid
  PictureLimits picture_limits;
  RangeFit range = RangeFit::fit;

  std::string base = "auto";  // id of a sheet, or "auto"
  View view = View::wall;
  std::string illuminant = "D65";
  std::string backing = "#f3f3f3";  // colour of what a wall piece is fixed to

  std::size_t most_layers = 8;
  std::optional<std::size_t> most_powders;
  std::size_t most_at_a_spot = 3;    // powders one above the other
  Millimetres smallest{2.0};         // narrowest opening and web
  Load least_layer_load{0.010};      // less cannot be sifted evenly
  std::vector<std::string> use;      // powder ids that must be in the plan
  std::vector<std::string> without;  // powder ids that must not
  std::vector<std::string> order;    // powder ids bottom to top, kept in this order
  Techniques techniques;
  Millimetres soft_edge{8};            // narrowest that a sifter held low lays, from 10 to 90 % of the load
  std::vector<TechniqueWish> lay;      // powders that may be put down in one way only
  std::vector<TechniqueWish> lay_not;  // powders that must not be put down in a way
  std::vector<ReactionWish> react;     // pairs of powders whose dark line is wanted, or not
  std::optional<Millimetres>
      bridge;                      // width of bridges; not set: usual_bridge, or `smallest` if that is more
  Millimetres border{25.0};        // of a stencil's sheet round the piece
  Millimetres cut_tolerance{0.1};  // of cut lines
  Paper paper = paper_a4;          // of the printed templates
  RepeatUse repeats = RepeatUse::found;
  std::optional<ShelfSize> shelf;           // a larger piece is cut into panels
  std::optional<Millimetres> shelf_margin;  // of it; not set: usual_shelf_margin
  FiringLimits firing;                      // load, firings, finish, raised
  std::vector<FiringOfPowder> in_firing;
  std::vector<FinishOfPowder> finish_of;
  WeighRules weigh;
  bool within_stock = false;  // plan with what the jars hold
  // What each g/cm2 of a powder costs the plan, CIEDE2000: so that little is used of what there is little of.
  std::vector<std::pair<std::string, double>> dear;
  Millimetres seen_from{1500};  // distance of the eye, for the seen error
  unsigned threads = 0;         // 0: all cores
  bool timings = false;         // fill PlanRecord::seconds
  // Where results of earlier runs are kept; not set: nowhere.
  std::optional<std::filesystem::path> kept;
};

}  // namespace powderplan
