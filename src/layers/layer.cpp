#include "layers/layer.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "parallel.h"

namespace powderplan {
namespace {

// A fade is planned in so many steps of its load: finer than any hand, coarse enough that points of the same
// look are computed once.
constexpr float amount_steps = 255;

std::vector<Region> regions_of(const Image<std::uint16_t>& amount, const Grid& grid) {
  Image<std::uint8_t> mask(amount.width(), amount.height());
  for (std::size_t i = 0; i < mask.size(); ++i)
    mask[i] = amount[i] != 0 ? 1 : 0;
  const cv::Mat view(mask.height(), mask.width(), CV_8U, mask.data());
  cv::Mat ids, stats, centres;
  const int count = cv::connectedComponentsWithStats(view, ids, stats, centres, 8, CV_32S);
  std::vector<double> amounts(static_cast<std::size_t>(count), 0);
  for (int y = 0; y < amount.height(); ++y) {
    const int* id = ids.ptr<int>(y);
    for (int x = 0; x < amount.width(); ++x)
      amounts[static_cast<std::size_t>(id[x])] += amount.at(x, y);
  }
  std::vector<Region> regions;
  const double pitch = grid.pitch.value();
  for (int i = 1; i < count; ++i) {
    const auto stat = [&](int which) { return static_cast<double>(stats.at<int>(i, which)); };
    Region region;
    region.area_cm2 = stat(cv::CC_STAT_AREA) * grid.point_cm2();
    region.amount_cm2 = amounts[static_cast<std::size_t>(i)] / whole_amount * grid.point_cm2();
    // A point is the middle of its square.
    region.centre = {(centres.at<double>(i, 0) + 0.5) * pitch, (centres.at<double>(i, 1) + 0.5) * pitch};
    region.box = {stat(cv::CC_STAT_LEFT) * pitch, stat(cv::CC_STAT_TOP) * pitch,
                  (stat(cv::CC_STAT_LEFT) + stat(cv::CC_STAT_WIDTH)) * pitch,
                  (stat(cv::CC_STAT_TOP) + stat(cv::CC_STAT_HEIGHT)) * pitch};
    regions.push_back(region);
  }
  std::stable_sort(regions.begin(), regions.end(),
                   [](const Region& a, const Region& b) { return a.area_cm2 > b.area_cm2; });
  for (std::size_t i = 0; i < regions.size(); ++i)
    regions[i].id = static_cast<int>(i) + 1;
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
  layer.amount = Image<std::uint16_t>(layer.open.width(), layer.open.height());
  const auto fade = std::find_if(separation.fades.begin(), separation.fades.end(),
                                 [&](const Fade& f) { return f.nest == layer.nest && f.step == step; });
  if (fade == separation.fades.end()) {
    for (std::size_t i = 0; i < layer.amount.size(); ++i)
      layer.amount[i] = layer.open[i] != 0 ? whole_amount : std::uint16_t{0};
  } else {
    layer.technique = Technique::fade;
    const Image<float> field = fade->amount.on(separation.grid);
    for (std::size_t i = 0; i < layer.amount.size(); ++i) {
      if (layer.open[i] != 0)
        layer.amount[i] = static_cast<std::uint16_t>(std::lround(field[i] * amount_steps) *
                                                     std::lround(whole_amount / amount_steps));
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
