// The value types of a plan as bytes (cereal), for the results that are kept between runs. Nothing outside
// the program reads them: they may change with every build.
#pragma once

#include <cereal/archives/binary.hpp>
#include <cereal/types/optional.hpp>
#include <cereal/types/string.hpp>
#include <cereal/types/vector.hpp>
#include <type_traits>

#include "firing/firing_trial.h"
#include "layers/layer.h"
#include "report/plan_record.h"
#include "separation/colour_index.h"
#include "separation/separation.h"

namespace powderplan {

template <class Archive, class Tag>
double save_minimal(const Archive&, const Quantity<Tag>& quantity) {
  return quantity.value();
}
template <class Archive, class Tag>
void load_minimal(const Archive&, Quantity<Tag>& quantity, const double& value) {
  quantity = Quantity<Tag>(value);
}

template <class Archive, class T>
void save(Archive& archive, const Image<T>& image) {
  static_assert(std::is_trivially_copyable_v<T>);
  archive(image.width(), image.height());
  archive(cereal::binary_data(image.data(), image.size() * sizeof(T)));
}
template <class Archive, class T>
void load(Archive& archive, Image<T>& image) {
  int width = 0, height = 0;
  archive(width, height);
  image = Image<T>(width, height);
  archive(cereal::binary_data(image.data(), image.size() * sizeof(T)));
}

// Only its words: a row is whole words.
template <class Archive>
void save(Archive& archive, const BitMask& mask) {
  archive(mask.width(), mask.height());
  for (int y = 0; y < mask.height(); ++y)
    archive(cereal::binary_data(mask.row(y), static_cast<std::size_t>(mask.words()) * sizeof(BitMask::Word)));
}
template <class Archive>
void load(Archive& archive, BitMask& mask) {
  int width = 0, height = 0;
  archive(width, height);
  mask = BitMask(width, height);
  for (int y = 0; y < height; ++y)
    archive(cereal::binary_data(mask.row(y), static_cast<std::size_t>(mask.words()) * sizeof(BitMask::Word)));
}

template <class Archive>
void serialize(Archive& archive, Grid& grid) {
  archive(grid.pitch, grid.width, grid.height);
}
template <class Archive>
void serialize(Archive& archive, Dose& dose) {
  archive(dose.powder, dose.load);
}
template <class Archive>
void serialize(Archive& archive, Nest& nest) {
  archive(nest.steps);
}

// A field is made for the size of its piece, so fades are read after the grid.
template <class Archive>
void save(Archive& archive, const Separation& separation) {
  archive(separation.grid, separation.choice, separation.labels, separation.label_at,
          separation.fades.size());
  for (const Fade& fade : separation.fades)
    archive(fade.nest, fade.step, fade.free, fade.amount.spacing(), fade.amount.weights());
}
template <class Archive>
void load(Archive& archive, Separation& separation) {
  std::size_t fades = 0;
  archive(separation.grid, separation.choice, separation.labels, separation.label_at, fades);
  const Grid& grid = separation.grid;
  separation.fades.clear();
  for (std::size_t i = 0; i < fades; ++i) {
    Fade& fade = separation.fades.emplace_back();
    Millimetres spacing;
    archive(fade.nest, fade.step, fade.free, spacing);
    fade.amount = SoftField(grid.pitch * grid.width, grid.pitch * grid.height, spacing);
    archive(fade.amount.weights());
  }
}

template <class Archive>
void serialize(Archive& archive, PointMm& point) {
  archive(point.x, point.y);
}
template <class Archive>
void serialize(Archive& archive, BoxMm& box) {
  archive(box.left, box.top, box.right, box.bottom);
}
template <class Archive>
void serialize(Archive& archive, Bridge& bridge) {
  archive(bridge.middle, bridge.error_cm2);
}
template <class Archive>
void serialize(Archive& archive, Stencil& stencil) {
  archive(stencil.width, stencil.height, stencil.border, stencil.openings, stencil.pins, stencil.pin,
          stencil.bridges);
}
template <class Archive>
void serialize(Archive& archive, LinePath& path) {
  archive(path.points, path.width_mm, path.length_mm);
}
template <class Archive>
void serialize(Archive& archive, LinePlan& lines) {
  archive(lines.paths, lines.length_mm, lines.travel_mm);
}
template <class Archive>
void serialize(Archive& archive, Region& region) {
  archive(region.id, region.area_cm2, region.amount_cm2, region.centre, region.box, region.expected_de00);
}
// As bridge_layers leaves it: the sheet, times and repeats come later.
template <class Archive>
void serialize(Archive& archive, CutStencil& cut) {
  archive(cut.stencil, cut.part, cut.error_cm2, cut.shortest_error_cm2);
}
template <class Archive>
void serialize(Archive& archive, Layer& layer) {
  archive(layer.powder, layer.nest, layer.step, layer.technique, layer.load, layer.amount, layer.open,
          layer.lines, layer.scratched, layer.scratched_cm2, layer.stencil, layer.area_cm2, layer.amount_cm2,
          layer.expected_de00, layer.regions);
}

template <class Archive>
void serialize(Archive& archive, Lab& lab) {
  archive(lab.l, lab.a, lab.b);
}
template <class Archive>
void serialize(Archive& archive, WeightedColour& colour) {
  archive(colour.lab, colour.weight);
}
// All but what is expected of the colours, which is worked out with the layers.
template <class Archive>
void serialize(Archive& archive, Fidelity& fidelity) {
  archive(fidelity.mean_de00, fidelity.p95_de00, fidelity.softened_mean_de00, fidelity.seen_mean_de00,
          fidelity.seen_from_mm, fidelity.edge_mm, fidelity.flat_mean_de00, fidelity.bound_mean_de00,
          fidelity.unfitted_mean_de00, fidelity.lost_detail);
}
template <class Archive>
void serialize(Archive& archive, FiringTrial& trial) {
  archive(trial.firings, trial.raised, trial.nests, trial.mean_de00, trial.softened_de00);
}
template <class Archive>
void serialize(Archive& archive, BaseTrial& trial) {
  archive(trial.sheet_id, trial.mean_de00);
}

}  // namespace powderplan
