#include "layers/layer.h"

#include <algorithm>
#include <numeric>
#include <opencv2/imgproc.hpp>

#include "parallel.h"

namespace powderplan {
namespace {

std::vector<Region> regions_of(const Image<std::uint8_t>& mask, const Grid& grid) {
  const cv::Mat view(mask.height(), mask.width(), CV_8U, const_cast<std::uint8_t*>(mask.data()));
  cv::Mat ids, stats, centres;
  const int count = cv::connectedComponentsWithStats(view, ids, stats, centres, 8, CV_32S);
  std::vector<Region> regions;
  const double pitch = grid.pitch.value();
  for (int i = 1; i < count; ++i) {
    const auto stat = [&](int which) { return static_cast<double>(stats.at<int>(i, which)); };
    Region region;
    region.area_cm2 = stat(cv::CC_STAT_AREA) * grid.point_cm2();
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

void measure(Layer& layer, const Separation& separation) {
  layer.regions = regions_of(mask_of(layer, separation), separation.grid);
  layer.area_cm2 = std::accumulate(layer.regions.begin(), layer.regions.end(), 0.0,
                                   [](double sum, const Region& r) { return sum + r.area_cm2; });
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

Image<std::uint8_t> mask_of(const Layer& layer, const Separation& separation) {
  const Image<std::uint16_t>& labels = separation.label_at;
  Image<std::uint8_t> mask(labels.width(), labels.height());
  std::vector<std::uint8_t> open(layer.open_at_label.begin(), layer.open_at_label.end());
  for (std::size_t i = 0; i < labels.size(); ++i)
    mask[i] = open[labels[i]];
  return mask;
}

std::vector<Layer> make_layers(const Separation& separation) {
  std::vector<Layer> layers;
  for (std::size_t p = 0; p < separation.choice.size(); ++p) {
    const std::vector<Load>& loads = separation.choice[p].loads;
    for (std::size_t step = loads.size(); step >= 1; --step) {
      Layer layer;
      layer.chosen = p;
      layer.step = static_cast<int>(step);
      layer.load = loads[step - 1];
      for (const Tones& tones : separation.labels)
        layer.open_at_label.push_back(tones[p] >= step);
      layers.push_back(std::move(layer));
    }
  }
  for_each_block(layers.size(), [&](std::size_t i) { measure(layers[i], separation); });
  std::erase_if(layers, [](const Layer& layer) { return layer.regions.empty(); });
  return layers;
}

}  // namespace powderplan
