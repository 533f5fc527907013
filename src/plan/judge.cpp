#include "plan/judge.h"

#include <algorithm>
#include <optional>
#include <utility>

#include "layers/softening.h"
#include "parallel.h"
#include "plan/lost_note.h"
#include "report/expected_error.h"
#include "report/quick_srgb.h"
#include "report/stage.h"
#include "separation/fidelity.h"
#include "separation/lost_detail.h"
#include "separation/separate.h"

namespace powderplan {
namespace {

// The mean difference with the edges of raised stencils as soft as they come out; nothing where none is.
std::optional<double> softened_difference(const PlanRecord& record, const Target& target) {
  if (raised_stencils(record.firing_plan) == 0)
    return std::nullopt;
  PlanRecord soft = light_copy_without_spots(record);  // colours come from the amounts
  soft.separation.grid = target.grid;
  soft.layers = softened(record.layers, raised_layers(record.firing_plan), raised_softening, target.grid);
  return difference(target.wanted, finished_colours(soft), target.bare).mean;
}

Image<Rgb8> codes_of(const Image<PackedLab>& picture) {
  Image<Rgb8> codes(picture.width(), picture.height());
  for_each_row_band(picture.height(), [&](int begin, int end) {
    for (int y = begin; y < end; ++y)
      std::transform(
          picture.row(y), picture.row(y) + picture.width(), codes.row(y),
          [](const PackedLab& colour) { return quick_rgb8(to_linear_rgb(to_xyz(to_lab(colour)))); });
  });
  return codes;
}

// All that takes a look at every point.
Fidelity fidelity_of(const PlanRecord& record, const PlanRequest& request, const Painter& painter,
                     Target& target, const ShelfReach& reach, const std::vector<std::size_t>& usable,
                     Image<std::uint8_t>& lost_detail_at) {
  const Image<PackedLab> predicted = finished_colours(record);
  Fidelity fidelity;
  fidelity.unfitted_mean_de00 = difference(target.as_it_is(), predicted, target.bare).mean;
  target.picture = {};
  const Spread spread = difference(target.wanted, predicted, target.bare);
  fidelity.mean_de00 = spread.mean;
  fidelity.p95_de00 = spread.p95;
  fidelity.softened_mean_de00 = softened_difference(record, target).value_or(spread.mean);
  fidelity.seen_from_mm = request.seen_from.value();
  fidelity.seen_mean_de00 =
      seen_difference(target.wanted, predicted, target.bare, target.grid.pitch, request.seen_from);
  fidelity.edge_mm = edge_distance(target.wanted, predicted, target.grid.pitch);
  fidelity.flat_mean_de00 =
      flat_difference(painter, usable, target, std::max<std::size_t>(1, record.layers.size()));
  fidelity.bound_mean_de00 = bound_difference(
      reach, label_labs(painter, record.separation.choice, record.separation.labels), target);
  LostDetail lost = lost_detail(target.wanted, predicted, target.bare, target.grid.pitch, request.smallest);
  fidelity.lost_detail = lost.share;
  lost_detail_at = std::move(lost.lost);
  return fidelity;
}

}  // namespace

void judge(PlanRecord& record, const PlanRequest& request, const Painter& painter, Target target,
           const ShelfReach& reach, const std::vector<std::size_t>& usable, const KeptResults& kept) {
  kept.fill(
      KeptStep::judgement, kept.keeps() ? fingerprint_of_piece(record) : "",
      [&] {
        record.fidelity = fidelity_of(record, request, painter, target, reach, usable, record.lost_detail);
      },
      record.fidelity, record.lost_detail);
  target.picture = {};
  for_each_block(2, [&](std::size_t which) {
    if (which == 0)
      expect_errors(record);
    else
      record.target = codes_of(target.wanted);
  });
  if (std::string note = lost_note(record.fidelity.lost_detail, request); !note.empty())
    record.notes.push_back(std::move(note));
  record.bare = std::move(target.bare);
}

}  // namespace powderplan
