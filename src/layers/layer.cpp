#include "layers/layer.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <opencv2/imgproc.hpp>

#include "parallel.h"

namespace powderplan {
namespace {

// Connected pieces: `at` has the number of each point's piece, 0 outside; pieces are numbered from 1 as they
// are met.
struct Pieces {
  int count = 0;
  cv::Mat at, stats, centres;
};

Pieces pieces_of(const Image<Amount>& amount) {
  Image<std::uint8_t> mask(amount.width(), amount.height());
  for (std::size_t i = 0; i < mask.size(); ++i)
    mask[i] = amount[i] != 0 ? 1 : 0;
  const cv::Mat view(mask.height(), mask.width(), CV_8U, mask.data());
  Pieces pieces;
  pieces.count =
      cv::connectedComponentsWithStats(view, pieces.at, pieces.stats, pieces.centres, 8, CV_32S) - 1;
  return pieces;
}

// The pieces, largest first; those of one size as they are met.
std::vector<int> by_size(const Pieces& pieces) {
  std::vector<int> order(static_cast<std::size_t>(pieces.count));
  std::iota(order.begin(), order.end(), 1);
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) {
    return pieces.stats.at<int>(a, cv::CC_STAT_AREA) > pieces.stats.at<int>(b, cv::CC_STAT_AREA);
  });
  return order;
}

std::vector<Region> regions_of(const Image<Amount>& amount, const Grid& grid) {
  const Pieces pieces = pieces_of(amount);
  std::vector<double> amounts(static_cast<std::size_t>(pieces.count) + 1, 0);
  for (int y = 0; y < amount.height(); ++y) {
    const int* id = pieces.at.ptr<int>(y);
    for (int x = 0; x < amount.width(); ++x)
      amounts[static_cast<std::size_t>(id[x])] += amount.at(x, y);
  }
  std::vector<Region> regions;
  const double pitch = grid.pitch.value();
  for (const int i : by_size(pieces)) {
    const auto stat = [&](int which) { return static_cast<double>(pieces.stats.at<int>(i, which)); };
    Region region;
    region.id = static_cast<int>(regions.size()) + 1;
    region.area_cm2 = stat(cv::CC_STAT_AREA) * grid.point_cm2();
    region.amount_cm2 = amounts[static_cast<std::size_t>(i)] / whole_amount * grid.point_cm2();
    // A point is the middle of its square.
    region.centre = {(pieces.centres.at<double>(i, 0) + 0.5) * pitch,
                     (pieces.centres.at<double>(i, 1) + 0.5) * pitch};
    region.box = {stat(cv::CC_STAT_LEFT) * pitch, stat(cv::CC_STAT_TOP) * pitch,
                  (stat(cv::CC_STAT_LEFT) + stat(cv::CC_STAT_WIDTH)) * pitch,
                  (stat(cv::CC_STAT_TOP) + stat(cv::CC_STAT_HEIGHT)) * pitch};
    regions.push_back(region);
  }
  return regions;
}

// Where the labels of a separation have a nest's step.
Image<std::uint8_t> opening_of(const Separation& separation, std::size_t nest, std::size_t step) {
  const Image<std::uint16_t>& labels = separation.label_at;
  std::vector<std::uint8_t> has;
  for (const Tones& tones : separation.labels)
    has.push_back(tones[nest] >= step ? 1 : 0);
  Image<std::uint8_t> open(labels.width(), labels.height());
  for (std::size_t i = 0; i < labels.size(); ++i)
    open[i] = has[labels[i]];
  return open;
}

void fill_in(Layer& layer, const Separation& separation) {
  const auto step = static_cast<std::size_t>(layer.step);
  layer.open = opening_of(separation, layer.nest, step);
  layer.amount = Image<Amount>(layer.open.width(), layer.open.height());
  const auto fade = std::find_if(separation.fades.begin(), separation.fades.end(),
                                 [&](const Fade& f) { return f.nest == layer.nest && f.step == step; });
  if (fade == separation.fades.end()) {
    for (std::size_t i = 0; i < layer.amount.size(); ++i)
      layer.amount[i] = layer.open[i] != 0 ? whole_amount : Amount{0};
  } else {
    layer.technique = Technique::fade;
    const Image<float> field = fade->amount.on(separation.grid);
    for (std::size_t i = 0; i < layer.amount.size(); ++i) {
      if (layer.open[i] != 0)
        layer.amount[i] = static_cast<Amount>(std::lround(field[i] * whole_amount));
    }
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
  const Pieces pieces = pieces_of(layer.amount);
  const std::vector<int> order = by_size(pieces);
  std::vector<std::int32_t> id(order.size() + 1, 0);
  for (std::size_t i = 0; i < order.size(); ++i)
    id[static_cast<std::size_t>(order[i])] = static_cast<std::int32_t>(i) + 1;
  Image<std::int32_t> at(layer.amount.width(), layer.amount.height());
  for (std::size_t i = 0; i < at.size(); ++i)
    at[i] = id[static_cast<std::size_t>(pieces.at.ptr<int>()[i])];
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
