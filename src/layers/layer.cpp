#include "layers/layer.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <type_traits>

#include "layers/mask_parts.h"
#include "parallel.h"

namespace powderplan {
namespace {

BitMask lying(const Image<Amount>& amount) {
  static_assert(std::is_same_v<Amount, std::uint8_t>);
  return amount;
}

// The parts of a layer, largest first; those of one size as they are met.
std::vector<int> by_size(const std::vector<std::size_t>& points) {
  std::vector<int> order(points.size() - 1);
  std::iota(order.begin(), order.end(), 1);
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) {
    return points[static_cast<std::size_t>(a)] > points[static_cast<std::size_t>(b)];
  });
  return order;
}

// Of each part, by number; [0] is unused.
struct PartSums {
  std::vector<std::size_t> points;
  std::vector<double> amounts, x, y;
};

PartSums sums_of(const MaskParts& parts, const Image<Amount>& amount) {
  const std::size_t count = parts.boxes().size();
  PartSums sums{std::vector<std::size_t>(count, 0), std::vector<double>(count, 0),
                std::vector<double>(count, 0), std::vector<double>(count, 0)};
  for (int y = 0; y < parts.height(); ++y) {
    for (const MaskRun& run : parts.row(y)) {
      const auto part = static_cast<std::size_t>(run.part);
      const int length = run.end - run.begin;
      sums.points[part] += static_cast<std::size_t>(length);
      sums.x[part] += 0.5 * length * (run.begin + run.end - 1);
      sums.y[part] += static_cast<double>(length) * y;
      const Amount* row = amount.row(y);
      sums.amounts[part] += std::accumulate(row + run.begin, row + run.end, 0);
    }
  }
  return sums;
}

std::vector<Region> regions_of(const Image<Amount>& amount, const Grid& grid) {
  const MaskParts parts(lying(amount), Touching::by_corners_too);
  const PartSums sums = sums_of(parts, amount);
  std::vector<Region> regions;
  const double pitch = grid.pitch.value();
  for (const int i : by_size(sums.points)) {
    const auto part = static_cast<std::size_t>(i);
    const auto points = static_cast<double>(sums.points[part]);
    Region region;
    region.id = static_cast<int>(regions.size()) + 1;
    region.area_cm2 = points * grid.point_cm2();
    region.amount_cm2 = sums.amounts[part] / whole_amount * grid.point_cm2();
    // A point is the middle of its square.
    region.centre = {(sums.x[part] / points + 0.5) * pitch, (sums.y[part] / points + 0.5) * pitch};
    const cv::Rect& box = parts.boxes()[part];
    region.box = {box.x * pitch, box.y * pitch, (box.x + box.width) * pitch, (box.y + box.height) * pitch};
    regions.push_back(region);
  }
  return regions;
}

// Where the labels of a separation have a nest's step.
BitMask opening_of(const Separation& separation, std::size_t nest, std::size_t step) {
  std::vector<std::uint8_t> has;
  for (const Tones& tones : separation.labels)
    has.push_back(tones[nest] >= step ? 1 : 0);
  return points_labelled(separation.label_at, has);
}

void fill_in(Layer& layer, const Separation& separation) {
  const auto step = static_cast<std::size_t>(layer.step);
  layer.open = opening_of(separation, layer.nest, step);
  layer.amount = Image<Amount>(layer.open.width(), layer.open.height());
  const auto fade = std::find_if(separation.fades.begin(), separation.fades.end(),
                                 [&](const Fade& f) { return f.nest == layer.nest && f.step == step; });
  if (fade == separation.fades.end()) {
    layer.open.for_each([&](int x, int y) { layer.amount.at(x, y) = whole_amount; });
  } else {
    layer.technique = Technique::fade;
    const Image<float> field = fade->amount.on(separation.grid);
    layer.open.for_each([&](int x, int y) {
      layer.amount.at(x, y) = static_cast<Amount>(std::lround(field.at(x, y) * whole_amount));
    });
    if (fade->free)
      layer.open = {};
  }
  measure(layer, separation.grid);
}

}  // namespace

std::string_view name_of(Technique technique) {
  switch (technique) {
    case Technique::stencil:
      return "stencil";
    case Technique::fade:
      return "fade";
    case Technique::line:
      return "line";
  }
  return "";
}

void measure(Layer& layer, const Grid& grid) {
  layer.regions = regions_of(layer.amount, grid);
  layer.area_cm2 = layer.amount_cm2 = 0;
  for (const Region& region : layer.regions) {
    layer.area_cm2 += region.area_cm2;
    layer.amount_cm2 += region.amount_cm2;
  }
}

Image<std::int32_t> regions_at(const Layer& layer) {
  const MaskParts parts(lying(layer.amount), Touching::by_corners_too);
  const std::vector<int> order = by_size(sums_of(parts, layer.amount).points);
  std::vector<std::int32_t> id(order.size() + 1, 0);
  for (std::size_t i = 0; i < order.size(); ++i)
    id[static_cast<std::size_t>(order[i])] = static_cast<std::int32_t>(i) + 1;
  Image<std::int32_t> at(layer.amount.width(), layer.amount.height(), 0);
  for (int y = 0; y < at.height(); ++y) {
    for (const MaskRun& run : parts.row(y))
      std::fill(at.row(y) + run.begin, at.row(y) + run.end, id[static_cast<std::size_t>(run.part)]);
  }
  return at;
}

std::vector<Layer> make_layers(const Separation& separation) {
  std::vector<Layer> layers;
  for (std::size_t n = 0; n < separation.choice.size(); ++n) {
    const std::vector<Dose>& steps = separation.choice[n].steps;
    for (std::size_t step = steps.size(); step >= 1; --step) {
      Layer layer;
      layer.powder = steps[step - 1].powder;
      layer.nest = n;
      layer.step = static_cast<int>(step);
      layer.load = steps[step - 1].load;
      layers.push_back(std::move(layer));
    }
  }
  for_each_block(layers.size(), [&](std::size_t i) { fill_in(layers[i], separation); });
  std::erase_if(layers, [](const Layer& layer) { return layer.regions.empty(); });
  return layers;
}

}  // namespace powderplan
