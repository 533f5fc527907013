#include "separation/fidelity.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "colour/difference.h"
#include "colour/quick_difference.h"
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

// Rows of colours, each number in a plane of its own, as colour/quick_difference.h wants them.
struct LabPlanes {
  explicit LabPlanes(std::size_t count) : l(count), a(count), b(count) {}
  [[nodiscard]] LabRows rows() const { return {l.data(), a.data(), b.data()}; }
  std::vector<float> l, a, b;
};

LabPlanes planes_of(const PackedLab* colours, std::size_t count) {
  LabPlanes planes(count);
  for (std::size_t i = 0; i < count; ++i) {
    const LabPixel colour = colours[i];
    planes.l[i] = colour.l;
    planes.a[i] = colour.a;
    planes.b[i] = colour.b;
  }
  return planes;
}

// Rows [begin, end) of a picture as the eye sees it: a Gaussian in linear light.
LabPlanes blurred(const Image<PackedLab>& picture, double sigma, int begin, int end) {
  // As far as OpenCV's kernel reaches for this sigma.
  const int reach = static_cast<int>(std::ceil(4 * sigma)) + 1;
  const int first = std::max(0, begin - reach), last = std::min(picture.height(), end + reach);
  std::array<cv::Mat, 3> xyz;
  for (cv::Mat& plane : xyz)
    plane.create(last - first, picture.width(), CV_32F);
  // CIE 15 backwards.
  const auto light = [](float f) { return f > 6.0F / 29 ? f * f * f : 108.0F / 841 * (f - 4.0F / 29); };
  for (int y = first; y < last; ++y) {
    float* const to_x = xyz[0].ptr<float>(y - first);
    float* const to_y = xyz[1].ptr<float>(y - first);
    float* const to_z = xyz[2].ptr<float>(y - first);
    const PackedLab* const from = picture.row(y);
    for (int x = 0; x < picture.width(); ++x) {
      const LabPixel colour = from[x];
      const float f = (colour.l + 16) / 116;
      to_x[x] = light(f + colour.a / 500);
      to_y[x] = light(f);
      to_z[x] = light(f - colour.b / 200);
    }
  }
  for (cv::Mat& plane : xyz)
    cv::GaussianBlur(plane, plane, {}, sigma, sigma, cv::BORDER_REPLICATE);
  const std::size_t count = static_cast<std::size_t>(end - begin) * static_cast<std::size_t>(picture.width());
  LabPlanes out(count);
  quick_lab(xyz[0].ptr<float>(begin - first), xyz[1].ptr<float>(begin - first),
            xyz[2].ptr<float>(begin - first), count, out.l.data(), out.a.data(), out.b.data());
  return out;
}

// Rows that are looked at together.
constexpr int rows_of_part = 64;

// Mean and percentile of what `differences` fills in for rows [begin, end) of a picture; points that are bare
// do not count.
template <class F>
Spread spread_of(const Image<PackedLab>& picture, const Image<std::uint8_t>& bare, const F& differences) {
  const auto width = static_cast<std::size_t>(picture.width());
  std::vector<float> all(picture.size());
  const int parts = (picture.height() + rows_of_part - 1) / rows_of_part;
  for_each_block(static_cast<std::size_t>(parts), [&](std::size_t part) {
    const int begin = static_cast<int>(part) * rows_of_part,
              end = std::min(picture.height(), begin + rows_of_part);
    const std::size_t from = static_cast<std::size_t>(begin) * width,
                      to = static_cast<std::size_t>(end) * width;
    differences(begin, end, all.data() + from);
    for (std::size_t i = from; i < to && !bare.empty(); ++i) {
      if (bare[i] != 0)
        all[i] = -1;
    }
  });
  std::erase_if(all, [](float v) { return v < 0; });
  if (all.empty())
    return {};
  double sum = 0;
  for (const float v : all)
    sum += static_cast<double>(v);
  const auto at = all.begin() + static_cast<std::ptrdiff_t>(0.95 * static_cast<double>(all.size() - 1));
  std::nth_element(all.begin(), at, all.end());
  return {sum / static_cast<double>(all.size()), *at};
}

cv::Mat edges_of(const Image<PackedLab>& picture) {
  cv::Mat lightness(picture.height(), picture.width(), CV_8U), edges;
  for (std::size_t i = 0; i < picture.size(); ++i)
    lightness.data[i] = static_cast<std::uint8_t>(std::clamp(picture[i].l() * 2.55F, 0.0F, 255.0F));
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

Spread difference(const Image<PackedLab>& wanted, const Image<PackedLab>& got,
                  const Image<std::uint8_t>& bare) {
  return spread_of(wanted, bare, [&](int begin, int end, float* to) {
    const std::size_t count =
        static_cast<std::size_t>(end - begin) * static_cast<std::size_t>(wanted.width());
    quick_ciede2000(planes_of(wanted.row(begin), count).rows(), planes_of(got.row(begin), count).rows(), to,
                    count);
  });
}

double seen_difference(const Image<PackedLab>& wanted, const Image<PackedLab>& got,
                       const Image<std::uint8_t>& bare, Millimetres pitch, Millimetres distance) {
  const double half_height_width = distance.value() * std::tan(std::numbers::pi / 180 / 60);
  const double sigma = half_height_width / (2 * std::sqrt(2 * std::log(2))) / pitch.value();
  return spread_of(wanted, bare,
                   [&](int begin, int end, float* to) {
                     const LabPlanes one = blurred(wanted, sigma, begin, end),
                                     other = blurred(got, sigma, begin, end);
                     quick_ciede2000(one.rows(), other.rows(), to, one.l.size());
                   })
      .mean;
}

double edge_distance(const Image<PackedLab>& wanted, const Image<PackedLab>& got, Millimetres pitch) {
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
