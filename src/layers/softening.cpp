#include "layers/softening.h"

#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "colour/difference.h"
#include "parallel.h"

namespace powderplan {
namespace {

// A normal distribution rises from 10 to 90 % over so many standard deviations.
constexpr double deviations_from_10_to_90 = 2.5631;
// Amounts of soft edges in so many steps: points of the same look are computed once.
constexpr double amount_steps = 15;

}  // namespace

std::vector<Layer> softened(const std::vector<Layer>& layers, const std::vector<bool>& raised,
                            Millimetres softening, const Grid& grid) {
  std::vector<Layer> out = layers;
  const double sigma = softening / grid.pitch / deviations_from_10_to_90;
  for_each_block(out.size(), [&](std::size_t i) {
    if (!raised[i] || !(sigma > 0))
      return;
    Image<Amount>& amount = out[i].amount;
    cv::Mat crisp(amount.height(), amount.width(), CV_8U, amount.data()), soft;
    crisp.convertTo(soft, CV_32F, amount_steps / whole_amount);
    cv::GaussianBlur(soft, soft, {}, sigma, sigma, cv::BORDER_REPLICATE);
    soft.convertTo(soft, CV_8U);
    soft.convertTo(crisp, CV_8U, whole_amount / amount_steps);
  });
  return out;
}

std::vector<double> softening_costs(const std::vector<Layer>& layers, const Image<PackedLab>& look,
                                    Millimetres softening, const Grid& grid) {
  const double sigma_cm = softening.value() / deviations_from_10_to_90 / 10;
  const double per_edge = std::sqrt(2 / std::numbers::pi) * sigma_cm * grid.pitch.value() / 10;
  std::vector<double> costs(layers.size(), 0);
  for_each_block(layers.size(), [&](std::size_t i) {
    double sum = 0;
    const auto edge = [&](int x, int y, int beside_x, int beside_y) {
      sum += ciede2000(to_lab(look.at(x, y)), to_lab(look.at(beside_x, beside_y)));
    };
    layers[i].open.for_each_edge([&](int x, int y, bool left, bool above) {
      if (left)
        edge(x, y, x - 1, y);
      if (above)
        edge(x, y, x, y - 1);
    });
    costs[i] = sum * per_edge;
  });
  return costs;
}

}  // namespace powderplan
