// The whole plan as one value: what every report is made from.
#pragma once

#include <cstdint>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "colour/spectrum.h"
#include "firing/firing.h"
#include "firing/firing_trial.h"
#include "glass/palette.h"
#include "layers/fade_bench.h"
#include "layers/layer.h"
#include "layers/meetings.h"
#include "layers/panel_cuts.h"
#include "layers/spots.h"
#include "raster/image.h"
#include "report/paper.h"
#include "separation/pair_price.h"
#include "separation/separation.h"
#include "weigh/weigh.h"

namespace powderplan {

struct InputFile {
  std::string role;  // "image", "palette", "piece"
  std::string name;  // file name without folders
  std::string sha256;
};

// All colour differences are CIEDE2000, on the plan's grid, against the fitted target; points that the
// picture leaves bare (alpha) do not count.
struct Fidelity {
  double mean_de00 = 0, p95_de00 = 0;
  double softened_mean_de00 = 0;  // with the softened edges of stencils raised on spacers
  double seen_mean_de00 = 0;      // both blurred as by the eye, one minute of arc at seen_from_mm
  double seen_from_mm = 0;
  double edge_mm = 0;             // mean distance between the edges of target and plan
  double flat_mean_de00 = 0;      // as many colours by k-means, each the nearest single powder at full load
  double bound_mean_de00 = 0;     // every recipe of the whole shelf, point by point, no smallest width
  double unfitted_mean_de00 = 0;  // against the picture as it came, before its range was fitted to the shelf
  double expected_de00 =
      0;  // of the predicted colours, from how well the powders are known; mean over the piece
  double lost_detail = 0;  // share (0..1) of the picture's fine detail that the plan does not show
};

// One of the user's settings, as a user would write it.
struct SettingText {
  std::string flag, value;
};

struct BaseTrial {
  std::string sheet_id;
  double mean_de00 = 0;  // in the quick trial that compared the sheets
};

struct PlanRecord {
  std::string title;  // of the piece, from the picture's or the piece file's name
  std::string program_version;
  std::vector<InputFile> inputs;
  std::vector<SettingText> settings;  // all that are set, of the kind that is no file
  Millimetres width, height;
  Palette palette;
  std::size_t sheet = 0;               // place in palette.sheets
  std::vector<BaseTrial> base_trials;  // empty unless the program chose the base
  View view = View::wall;
  std::string illuminant;  // "D65", "6000K", ...
  Spectrum backing;
  Millimetres smallest;      // smallest width of openings and webs
  Millimetres soft_edge{8};  // narrowest edge of a fade laid with the sifter held low
  FiringLimits limits;
  std::optional<std::size_t> most_layers;
  WeighRules weigh_rules;
  Paper paper = paper_a4;  // of the printed templates

  Separation separation;
  std::vector<Layer> layers;               // bench order
  std::vector<FiringTrial> firing_trials;  // what each number of firings would cost
  Spots spots;                             // of these layers
  std::vector<PairPrice> pair_prices;      // what is wanted of powders that react
  std::vector<Meeting> meetings;           // of glasses of the plan that react
  FiringPlan firing_plan;
  std::size_t firings_done = 0;  // the first so many are behind the piece: what they hold lies as it is
  // What the bench needs of each fade, by layer; nothing where a layer is none. Empty: not worked out yet.
  std::vector<std::optional<FadeBench>> fade_benches;
  std::optional<Shelf> shelf;  // that every part of the piece must fit on
  PanelLayout panels;          // none: the piece is fired whole
  Weights weights;
  int bridges = 0;  // that hold loose parts in the stencils, all together
  Fidelity fidelity;

  // Target colours (fitted), sRGB, one a grid point.
  Image<Rgb8> target;
  // 1 where the picture leaves the sheet bare (alpha 0): there the target does not count. Empty: nowhere.
  Image<std::uint8_t> bare;

  // 255 where fine detail of the target is lost. Empty: not looked at.
  Image<std::uint8_t> lost_detail;

  std::vector<std::string> notes;         // what the user should know, from every step
  std::map<std::string, double> seconds;  // by step; only for progress and benchmarks
};

}  // namespace powderplan
