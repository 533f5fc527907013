// The piece at one moment of its making: what lies on each spot, and what that looks like.
//
// The rule by which layers become an optical stack, the same in plan.json and in every preview:
// layers lie on each other in bench order, which puts nothing down before what it lies on. At each point the
// loads of consecutive layers that hold the same powder and have the same finish values are added first, and
// then make one covering layer. Where the values differ, because one of them has been in the kiln more often,
// they stay two.
#pragma once

#include <cstddef>
#include <vector>

#include "recipe/coats.h"
#include "report/plan_record.h"
#include "separation/target.h"

namespace powderplan {

// The first `firings_done` firings are behind the piece; `loose` layers (places in PlanRecord::layers) lie on
// it unfired; no other layer is there yet.
struct Moment {
  std::size_t firings_done = 0;
  std::vector<std::size_t> loose;
};

// After firing k, counted from 0. After the last one: the finished piece.
Moment moment_after(std::size_t firing);
// As it goes into firing k: all layers of that firing lie loose.
Moment moment_before(const PlanRecord& record, std::size_t firing);
Moment moment_finished(const PlanRecord& record);

// How many layers lie on the glass, fired already: the first so many.
std::size_t layers_done(const PlanRecord& record);

// What the optical model needs of a plan, without its pictures: so that loads and powders can be changed and
// looked at quickly.
PlanRecord light_copy(const PlanRecord& record);
// The same for amounts, or spots, that are not the record's own.
PlanRecord light_copy_without_spots(const PlanRecord& record);

const Powder& powder_of(const PlanRecord& record, const Layer& layer);
const Sheet& sheet_of(const PlanRecord& record);

// A layer goes through its own firing and every later one that is done, and carries the sum of their flows;
// none before its own.
Millimetres flow_after(const PlanRecord& record, std::size_t layer, std::size_t firings_done);
// What that has made of the layer's powder, by its own grain.
FinishValues values_after(const PlanRecord& record, std::size_t layer, std::size_t firings_done);
FinishValues values_at(const PlanRecord& record, std::size_t layer, Millimetres flow);

Ground ground_of(const PlanRecord& record, View view);

// The light of the plan. Throws Problem (command_line) when its name is unknown.
Spectrum light_of(const PlanRecord& record);

// Loads of one powder in one state, added up by the rule above.
struct Coat {
  Dose dose;
  Millimetres flow;
  FinishValues values;
  std::size_t last_layer = 0;  // of its layers the one put down last
};
// Whether each layer lies at a moment, and what the heat has made of it: the same for all spots.
struct LayerThen {
  bool lies = false;
  Millimetres flow;
  FinishValues values;
};
std::vector<LayerThen> layers_at(const PlanRecord& record, const Moment& moment);

// What lies on a spot (of PlanRecord::spots), bottom to top.
std::vector<Coat> coats_at(const PlanRecord& record, std::size_t spot, const Moment& moment);
std::vector<Coat> coats_at(const PlanRecord& record, std::size_t spot, const std::vector<LayerThen>& layers);
// Each of them as a covering layer.
std::vector<CoveringLayer> stack_at(const PlanRecord& record, std::size_t spot, const Moment& moment);
// The same, for many spots of one record.
std::vector<CoveringLayer> stack_at(const PlanRecord& record, std::size_t spot,
                                    const std::vector<LayerThen>& layers, Coats& made);

// The colour of every grid point of the finished piece in the plan's own light and view: what the plan's
// errors are measured by, and the previews show.
Image<PackedLab> finished_colours(const PlanRecord& record);

// The colour of every spot under the plan's light, in full: what report/point_looks.h is held to.
std::vector<Rgb8> spot_colours(const PlanRecord& record, const Moment& moment, View view);

}  // namespace powderplan
