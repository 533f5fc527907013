#include "separation/fidelity.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "colour/difference.h"
#include "parallel.h"
#include "recipe/nearest_recipe.h"
#include "separation/separate.h"

namespace powderplan {
namespace {

constexpr std::size_t colours_of_bound = 8000;
constexpr std::size_t colours_of_flat = 6000;

// Mean of f(colour) over the points of an index, each colour computed once.
template <class F>
double mean_over(const std::vector<WeightedColour>& colours, F&& f) {
  std::vector<double> value(colours.size());
  constexpr std::size_t block = 64;
  for_each_block((colours.size() + block - 1) / block, [&](std::size_t b) {
    for (std::size_t i = b * block; i < std::min(colours.size(), (b + 1) * block); ++i)
      value[i] = f(colours[i].lab);
  });
  double sum = 0, weight = 0;
  for (std::size_t i = 0; i < colours.size(); ++i) {
    sum += value[i] * colours[i].weight;
    weight += colours[i].weight;
  }
  return weight > 0 ? sum / weight : 0;
}

Image<LabPixel> blurred(const Image<LabPixel>& picture, double sigma) {
  cv::Mat xyz(picture.height(), picture.width(), CV_32FC3);
  for_each_row_band(picture.height(), [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      auto* to = xyz.ptr<cv::Vec3f>(y);
      for (int x = 0; x < picture.width(); ++x) {
        const Xyz c = to_xyz(to_lab(picture.at(x, y)));
        to[x] = {static_cast<float>(c.x), static_cast<float>(c.y), static_cast<float>(c.z)};
      }
    }
  });
  cv::GaussianBlur(xyz, xyz, {}, sigma, sigma, cv::BORDER_REPLICATE);
  Image<LabPixel> out(picture.width(), picture.height());
  for_each_row_band(picture.height(), [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      const auto* from = xyz.ptr<cv::Vec3f>(y);
      for (int x = 0; x < picture.width(); ++x)
        out.at(x, y) = to_pixel(to_lab(Xyz{from[x][0], from[x][1], from[x][2]}));
    }
  });
  return out;
}

cv::Mat edges_of(const Image<LabPixel>& picture) {
  cv::Mat lightness(picture.height(), picture.width(), CV_8U), edges;
  for (std::size_t i = 0; i < picture.size(); ++i)
    lightness.data[i] = static_cast<std::uint8_t>(std::clamp(picture[i].l * 2.55F, 0.0F, 255.0F));
  cv::GaussianBlur(lightness, lightness, {}, 2.0);
  cv::Canny(lightness, edges, 20, 50);
  return edges;
}

// Mean distance in points from the edges of `from` to those of `to`.
double mean_gap(const cv::Mat& from, const cv::Mat& to) {
  cv::Mat away, distance;
  cv::bitwise_not(to, away);
  cv::distanceTransform(away, distance, cv::DIST_L2, cv::DIST_MASK_PRECISE);
  return cv::mean(distance, from)[0];
}

}  // namespace

Spread difference(const Image<LabPixel>& wanted, const Image<LabPixel>& got,
                  const Image<std::uint8_t>& bare) {
  std::vector<float> all(wanted.size(), -1.0F);
  for_each_row_band(wanted.height(), [&](int begin, int end) {
    for (std::size_t i = static_cast<std::size_t>(begin) * wanted.width();
         i < static_cast<std::size_t>(end) * wanted.width(); ++i) {
      if (bare[i] == 0)
        all[i] = static_cast<float>(ciede2000(to_lab(wanted[i]), to_lab(got[i])));
    }
  });
  std::erase_if(all, [](float v) { return v < 0; });
  if (all.empty())
    return {};
  double sum = 0;
  for (const float v : all)
    sum += v;
  const auto at = all.begin() + static_cast<std::ptrdiff_t>(0.95 * static_cast<double>(all.size() - 1));
  std::nth_element(all.begin(), at, all.end());
  return {sum / static_cast<double>(all.size()), *at};
}

double seen_difference(const Image<LabPixel>& wanted, const Image<LabPixel>& got,
                       const Image<std::uint8_t>& bare, Millimetres pitch, Millimetres distance) {
  const double half_height_width = distance.value() * std::tan(std::numbers::pi / 180 / 60);
  const double sigma = half_height_width / (2 * std::sqrt(2 * std::log(2))) / pitch.value();
  return difference(blurred(wanted, sigma), blurred(got, sigma), bare).mean;
}

double edge_distance(const Image<LabPixel>& wanted, const Image<LabPixel>& got, Millimetres pitch) {
  const cv::Mat of_wanted = edges_of(wanted), of_got = edges_of(got);
  if (cv::countNonZero(of_wanted) == 0 || cv::countNonZero(of_got) == 0)
    return 0;
  return pitch.value() * (mean_gap(of_wanted, of_got) + mean_gap(of_got, of_wanted)) / 2;
}

double flat_difference(const Painter& painter, const std::vector<std::size_t>& usable, const Target& target,
                       std::size_t colours) {
  std::vector<Lab> singles;
  for (const std::size_t powder : usable)
    singles.push_back(painter.lab({{powder, full_load}}));
  const std::vector<WeightedColour> all = index_colours(target.wanted, target.bare, colours_of_flat).colours;
  const std::vector<WeightedColour> means = cluster(all, colours);
  std::vector<Lab> replaced;
  for (const WeightedColour& mean : means) {
    replaced.push_back(*std::min_element(singles.begin(), singles.end(), [&](const Lab& p, const Lab& q) {
      return ciede2000(mean.lab, p) < ciede2000(mean.lab, q);
    }));
  }
  const auto square = [](const Lab& p, const Lab& q) {
    return (p.l - q.l) * (p.l - q.l) + (p.a - q.a) * (p.a - q.a) + (p.b - q.b) * (p.b - q.b);
  };
  return mean_over(all, [&](const Lab& wanted) {
    std::size_t own = 0;
    for (std::size_t i = 1; i < means.size(); ++i) {
      if (square(wanted, means[i].lab) < square(wanted, means[own].lab))
        own = i;
    }
    return means.empty() ? 0.0 : ciede2000(wanted, replaced[own]);
  });
}

double bound_difference(const ShelfReach& reach, const std::vector<Lab>& labels, const Target& target) {
  const std::vector<WeightedColour> all = index_colours(target.wanted, target.bare, colours_of_bound).colours;
  const auto of_shelf = [&](const Lab& wanted) { return reach.nearest_de00(wanted); };
  if (labels.empty())
    return mean_over(all, of_shelf);
  const NearestRecipe near(labels);
  return mean_over(all, [&](const Lab& wanted) {
    return std::min(of_shelf(wanted), ciede2000(wanted, labels[near.nearest(wanted)]));
  });
}

}  // namespace powderplan
