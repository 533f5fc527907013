#include "fired/planned_look.h"

#include <algorithm>
#include <numeric>
#include <opencv2/imgproc.hpp>

#include "colour/observer.h"
#include "parallel.h"

namespace powderplan {

std::vector<Xyz> looks_of_spots(const PlanRecord& record, const Moment& moment, const Spectrum& under,
                                const std::vector<std::size_t>& spots) {
  const Observer observer(illuminant_d65());
  const Stack bare(ground_of(sheet_of(record), record.palette.glass.density, View::wall, under));
  const std::vector<LayerThen> layers = layers_at(record, moment);
  std::vector<Xyz> colours(spots.size());
  constexpr std::size_t block = 128;
  for_each_block((spots.size() + block - 1) / block, [&](std::size_t b) {
    Coats made;
    for (std::size_t i = b * block; i < std::min(spots.size(), (b + 1) * block); ++i)
      colours[i] = observer(seen(bare, stack_at(record, spots[i], layers, made)));
  });
  return colours;
}

Image<Xyz> look_on_grid(const PlanRecord& record, const Moment& moment, const Spectrum& under,
                        const Grid& grid) {
  std::vector<std::size_t> all(record.spots.count());
  std::iota(all.begin(), all.end(), std::size_t{0});
  const std::vector<Xyz> colours = looks_of_spots(record, moment, under, all);
  const Image<std::uint32_t>& spot_at = record.spots.at();
  cv::Mat fine(spot_at.height(), spot_at.width(), CV_32FC3), coarse;
  for (std::size_t i = 0; i < spot_at.size(); ++i) {
    const Xyz& c = colours[spot_at[i]];
    fine.ptr<cv::Vec3f>()[i] = {static_cast<float>(c.x), static_cast<float>(c.y), static_cast<float>(c.z)};
  }
  cv::resize(fine, coarse, {grid.width, grid.height}, 0, 0, cv::INTER_AREA);
  Image<Xyz> out(grid.width, grid.height);
  for (std::size_t i = 0; i < out.size(); ++i) {
    const cv::Vec3f& c = coarse.ptr<cv::Vec3f>()[i];
    out[i] = {c[0], c[1], c[2]};
  }
  return out;
}

}  // namespace powderplan
