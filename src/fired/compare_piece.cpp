#include "fired/compare_piece.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "colour/difference.h"
#include "fired/align_piece.h"
#include "fired/lab_planes.h"
#include "fired/planned_look.h"
#include "fired/strength_fit.h"
#include "fired/unexplained.h"
#include "layers/layer.h"
#include "report/stage.h"

namespace powderplan {
namespace {

constexpr std::size_t most_points = 5000;
// A point is even when the plan's own colours around it differ by no more than this, in L*, a* or b*.
constexpr double even_within = 4;

// Points where the plan is even, so that a small error of placing changes nothing.
std::vector<std::size_t> even_points(const Image<Xyz>& planned, const Image<std::uint8_t>& untrusted) {
  const std::array<cv::Mat, 3> channel = lab_planes(planned);
  cv::Mat even(planned.height(), planned.width(), CV_8U, cv::Scalar(1));
  const cv::Mat around = cv::Mat::ones(3, 3, CV_8U);
  for (const cv::Mat& c : channel) {
    cv::Mat most, least;
    cv::dilate(c, most, around);
    cv::erode(c, least, around);
    even.setTo(0, (most - least) > even_within);
  }
  std::vector<std::size_t> points;
  for (std::size_t i = 0; i < planned.size(); ++i)
    if (even.data[i] != 0 && untrusted[i] == 0)
      points.push_back(i);
  // Evenly thinned: no point is better than another.
  if (points.size() > most_points) {
    std::vector<std::size_t> some;
    for (std::size_t i = 0; i < most_points; ++i)
      some.push_back(points[i * points.size() / most_points]);
    points = std::move(some);
  }
  return points;
}

void judge_layers(PieceComparison& out, const PlanRecord& record, const Image<float>& lighter) {
  for (std::size_t layer = 0; layer < record.layers.size(); ++layer) {
    if (record.firing_plan.places[layer].firing >= out.firings_done)
      continue;
    const Image<std::int32_t> region_at = regions_at(record.layers[layer]);
    LayerFinding finding{layer, 0, 0, {}};
    for (const Region& region : record.layers[layer].regions)
      finding.regions.push_back({region.id, region.area_cm2, 0, 0});
    std::vector<double> points(finding.regions.size(), 0);
    double all = 0;
    for (std::size_t i = 0; i < out.de00.size(); ++i) {
      const std::int32_t region = region_at[middle_of(i, out.grid, record.separation.grid)];
      if (region == 0 || out.counts[i] == 0)
        continue;
      const auto at = static_cast<std::size_t>(region - 1);
      finding.regions[at].mean_de00 += out.de00[i];
      finding.regions[at].lighter += lighter[i];
      finding.mean_de00 += out.de00[i];
      finding.lighter += lighter[i];
      points[at] += 1;
      all += 1;
    }
    for (std::size_t r = 0; r < points.size(); ++r) {
      finding.regions[r].mean_de00 /= std::max(1.0, points[r]);
      finding.regions[r].lighter /= std::max(1.0, points[r]);
    }
    // Regions too small for any point say nothing.
    std::size_t next = 0;
    std::erase_if(finding.regions, [&](const RegionFinding&) { return points[next++] == 0; });
    finding.mean_de00 /= std::max(1.0, all);
    finding.lighter /= std::max(1.0, all);
    out.layers.push_back(std::move(finding));
  }
}

Image<Rgb8> shown(const Image<Xyz>& picture) {
  Image<Rgb8> out(picture.width(), picture.height());
  for (std::size_t i = 0; i < out.size(); ++i)
    out[i] = to_rgb8(to_linear_rgb(picture[i]));
  return out;
}

double mean_difference(const Image<Xyz>& planned, const SeenPiece& piece, Image<float>& de00) {
  double sum = 0, count = 0;
  for (std::size_t i = 0; i < planned.size(); ++i) {
    de00[i] = piece.untrusted[i] != 0
                  ? 0
                  : static_cast<float>(ciede2000(to_lab(planned[i]), to_lab(piece.colour[i])));
    sum += static_cast<double>(de00[i]);
    count += piece.untrusted[i] != 0 ? 0 : 1;
  }
  return sum / std::max(1.0, count);
}

double p95_of(const PieceComparison& comparison) {
  std::vector<float> counted;
  for (std::size_t i = 0; i < comparison.de00.size(); ++i)
    if (comparison.counts[i] != 0)
      counted.push_back(comparison.de00[i]);
  if (counted.empty())
    return 0;
  const auto at = counted.begin() + static_cast<std::ptrdiff_t>(counted.size() * 95 / 100);
  std::nth_element(counted.begin(), at, counted.end());
  return static_cast<double>(*at);
}

}  // namespace

Millimetres comparison_pitch(const PlanRecord& record) {
  constexpr double points_along = 300;
  return std::max(
      {Millimetres(1), record.separation.grid.pitch, std::max(record.width, record.height) / points_along});
}

PieceComparison compare_piece(const PlanRecord& record, std::size_t firings_done, const SeenPiece& seen,
                              const Weighed& weighed) {
  const Moment moment = moment_after(firings_done - 1);
  PlanRecord copy = light_copy(record);
  PieceComparison out;
  out.firings_done = firings_done;
  out.grid = seen.grid;
  const Image<Xyz> planned = look_on_grid(copy, moment, seen.under, seen.grid);
  const SeenPiece piece = aligned(seen, planned);
  out.planned = shown(planned);
  out.seen = shown(piece.colour);
  out.de00 = Image<float>(seen.grid.width, seen.grid.height);
  out.mean_de00 = mean_difference(planned, piece, out.de00);
  out.counts = Image<std::uint8_t>(seen.grid.width, seen.grid.height);
  Image<float> lighter(seen.grid.width, seen.grid.height);
  for (std::size_t i = 0; i < planned.size(); ++i) {
    out.counts[i] = piece.untrusted[i] != 0 ? 0 : 1;
    lighter[i] = static_cast<float>(to_lab(piece.colour[i]).l - to_lab(planned[i]).l);
  }
  out.p95_de00 = p95_of(out);

  SeenSpots spots{{}, {}, seen.under};
  for (const std::size_t point : even_points(planned, piece.untrusted)) {
    spots.spots.push_back(copy.spots.at()[middle_of(point, seen.grid, record.separation.grid)]);
    spots.colours.push_back(piece.colour[point]);
  }
  Strengths found = fit_strengths(record, moment, spots, weighed);
  for (std::size_t layer = 0; layer < record.layers.size(); ++layer)
    copy.layers[layer].load = record.layers[layer].load * found.of_layer[layer];
  out.powders = std::move(found.powders);
  out.strength = std::move(found.of_layer);
  const Image<Xyz> explained = look_on_grid(copy, moment, seen.under, seen.grid);
  Image<float> left(seen.grid.width, seen.grid.height);
  out.explained_de00 = mean_difference(explained, piece, left);
  out.left = unexplained(explained, piece);
  judge_layers(out, record, lighter);
  return out;
}

}  // namespace powderplan
