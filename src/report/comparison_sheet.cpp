#include "report/comparison_sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "report/canvas.h"
#include "report/difference_map.h"
#include "report/preview.h"
#include "report/stage.h"

namespace powderplan {
namespace {

constexpr Rgb8 black{0, 0, 0}, red{150, 30, 30}, grey{95, 95, 95}, light{205, 205, 205}, white{255, 255, 255};

// Pixels of the sheet.
constexpr int sheet_width = 1800, margin = 60, gap = 30;
constexpr int picture_width = (sheet_width - 2 * margin - 2 * gap) / 3;
constexpr double pictures_top = 232, scale_height = 92;
constexpr double heading_height = 70, powder_row = 44, worst_row = 38;
constexpr double powders_above = 54, powders_below = 60, foot = 50;
constexpr int number_box = 30;
constexpr std::size_t worst_shown = 8;

// Where the numbers of the worst regions stand in a picture of a column's width: each where its region is
// widest and no other number stands.
std::vector<PointMm> places_of_numbers(const PlanRecord& record, const PieceComparison& comparison,
                                       const std::vector<WorstRegion>& worst) {
  std::vector<PointMm> taken;
  for (const WorstRegion& one : worst) {
    const Layer& layer = record.layers[comparison.layers[one.layer].layer];
    const Image<std::int32_t> region_at = regions_at(layer);
    const double scale = static_cast<double>(picture_width) / region_at.width();
    // With a border, so that the edge of the piece is an edge of the region too.
    cv::Mat inside(region_at.height() + 2, region_at.width() + 2, CV_8U, cv::Scalar(0)), depth;
    for (int y = 0; y < region_at.height(); ++y)
      for (int x = 0; x < region_at.width(); ++x)
        inside.at<std::uint8_t>(y + 1, x + 1) = region_at.at(x, y) == one.region.id ? 1 : 0;
    cv::distanceTransform(inside, depth, cv::DIST_L2, cv::DIST_MASK_PRECISE);
    PointMm best;
    float deepest = -1;
    for (int y = 0; y < region_at.height(); ++y) {
      for (int x = 0; x < region_at.width(); ++x) {
        const float here = depth.at<float>(y + 1, x + 1);
        if (here <= std::max(0.0F, deepest))
          continue;
        const PointMm at{(x + 0.5) * scale, (y + 0.5) * scale};
        constexpr double apart = number_box + 3;
        const bool free = std::none_of(taken.begin(), taken.end(), [&](const PointMm& other) {
          return std::abs(other.x - at.x) < apart && std::abs(other.y - at.y) < apart;
        });
        if (free) {
          best = at;
          deepest = here;
        }
      }
    }
    // A region that other numbers cover whole has its own over them, off its centre.
    if (deepest < 0) {
      const Region& region = layer.regions[static_cast<std::size_t>(one.region.id - 1)];
      const double to_pixels = picture_width / record.width.value();
      best = {region.centre.x * to_pixels + number_box, region.centre.y * to_pixels};
    }
    taken.push_back(best);
  }
  return taken;
}

std::string off_in_lightness(double lighter) {
  return std::abs(lighter) < 0.5
             ? "no lighter and no darker"
             : fmt::format("{:.1f} L* {}", std::abs(lighter), lighter > 0 ? "lighter" : "darker");
}

class ComparisonSheet {
 public:
  ComparisonSheet(const PlanRecord& record, const PieceComparison& comparison)
      : record_(record),
        comparison_(comparison),
        worst_(worst_regions(comparison, worst_shown)),
        columns_{{{"As planned", at_width(comparison.planned, picture_width)},
                  {"As it came out", at_width(comparison.seen, picture_width)},
                  {"Difference", at_width(difference_picture(comparison), picture_width)}}},
        canvas_(sheet_width, static_cast<int>(height())) {}

  Image<Rgb8> draw() {
    head();
    pictures();
    const double below = pictures_top + tall() + scale_height;
    scale(pictures_top + tall() + 14);
    worst(powders(below));
    return canvas_.image();
  }

 private:
  static constexpr double name_width = 380, factors_left = margin + 420, factors_width = 640;
  static constexpr double inner = sheet_width - 2 * margin;

  [[nodiscard]] double tall() const { return columns_[0].second.height(); }
  [[nodiscard]] double height() const {
    const double table =
        worst_.empty() ? 0 : heading_height + worst_row * static_cast<double>(worst_.size() + 1);
    return pictures_top + tall() + scale_height + heading_height + powders_above +
           powder_row * static_cast<double>(comparison_.powders.size()) + powders_below + table + foot;
  }

  void head() {
    canvas_.text_within(margin, 84, inner, record_.title, {.size = 44, .weight = Weight::bold});
    canvas_.text(margin, 126,
                 fmt::format("After firing {} of {}, lying on white paper in daylight: {:.1f} off the plan "
                             "in the mean, 95 % of it by "
                             "less than {:.1f} (CIEDE2000).",
                             comparison_.firings_done, record_.firing_plan.firings.size(),
                             comparison_.mean_de00, comparison_.p95_de00),
                 {.size = 24});
    canvas_.text(margin, 160,
                 fmt::format("With the powders as heavy as found below, {:.1f} would be left.",
                             comparison_.explained_de00),
                 {.size = 24});
  }

  [[nodiscard]] static double left_of(std::size_t column) {
    return margin + static_cast<double>(column) * (picture_width + gap);
  }

  void pictures() {
    for (std::size_t i = 0; i < columns_.size(); ++i) {
      canvas_.text(left_of(i), pictures_top - 12, columns_[i].first, {.size = 26, .weight = Weight::bold});
      canvas_.picture(static_cast<int>(left_of(i)), static_cast<int>(pictures_top), columns_[i].second);
      canvas_.frame(left_of(i), pictures_top, picture_width, tall(), 1, light);
    }
    const std::vector<PointMm> places = places_of_numbers(record_, comparison_, worst_);
    constexpr double half = number_box / 2.0;
    for (std::size_t i = 0; i < places.size(); ++i) {
      const double x = left_of(2) + std::clamp(places[i].x, half, picture_width - half);
      const double y = pictures_top + std::clamp(places[i].y, half, std::max(half, tall() - half));
      canvas_.fill(x - half, y - half, number_box, number_box, white);
      canvas_.frame(x - half, y - half, number_box, number_box, 2, black);
      canvas_.text(x, y + 8, std::to_string(i + 1),
                   {.size = 22, .weight = Weight::bold, .align = Align::centre});
    }
  }

  // What the colours of the difference mean.
  void scale(double top) {
    const double left = left_of(2);
    for (int x = 0; x < picture_width; ++x)
      canvas_.fill(left + x, top, 1, 18, difference_colour(end_of_scale_de00 * (x + 0.5) / picture_width));
    for (const double de00 : {0.0, good_de00, 6.0, 9.0, end_of_scale_de00}) {
      const double x = left + picture_width * de00 / end_of_scale_de00;
      const Align align = de00 == 0 ? Align::left : de00 == end_of_scale_de00 ? Align::right : Align::centre;
      canvas_.text(x, top + 40, fmt::format("{:g}{}", de00, de00 == end_of_scale_de00 ? " and more" : ""),
                   {.size = 18, .align = align, .colour = grey});
    }
    canvas_.text(left, top + 62, "Grey: the photo cannot be trusted there.", {.size = 18, .colour = grey});
  }

  static double place(double factor) {
    return factors_left + factors_width * (std::log2(std::clamp(factor, 0.5, 2.0)) + 1) / 2;
  }

  // Each powder's factor on a scale from half to double, with two standard deviations to either side.
  double powders(double top) {
    canvas_.text(margin, top + 40, "Powder against the plan", {.size = 30, .weight = Weight::bold});
    const double rows = top + heading_height + powders_above;
    const double all_rows = powder_row * static_cast<double>(comparison_.powders.size());
    for (const double factor : {0.5, 0.7, 1.0, 1.4, 2.0}) {
      const bool planned = factor == 1.0;
      canvas_.fill(std::round(place(factor)), rows - 26, planned ? 3 : 1, all_rows + 8,
                   planned ? black : light);
      canvas_.text(place(factor), rows - 34, planned ? "as planned" : fmt::format("\u00d7 {:g}", factor),
                   {.size = 20, .align = Align::centre, .colour = grey});
    }
    double y = rows;
    for (const PowderFinding& finding : comparison_.powders) {
      powder(finding, y);
      y += powder_row;
    }
    canvas_.text(
        margin, y + 18,
        "Square: the likeliest, over all layers of the powder that lie. Bar: what the photo leaves open. "
        "Red: more than chance. Grey, without a square: the photo does not tell.",
        {.size = 18, .colour = grey});
    return y + powders_below;
  }

  void powder(const PowderFinding& finding, double y) {
    canvas_.text_within(margin, y + 16, name_width, record_.palette.powders[finding.powder].name,
                        {.size = 24});
    const bool told = finding.off_by <= not_told * finding.factor;
    const Rgb8 colour = !told ? light : is_told(finding) ? red : black;
    const double low = place(finding.factor - doubt_of(finding));
    const double high = place(finding.factor + doubt_of(finding));
    canvas_.fill(low, y + 6, std::max(1.0, high - low), 4, colour);
    if (told)
      canvas_.fill(place(finding.factor) - 8, y, 16, 16, colour);
    canvas_.text_within(factors_left + factors_width + 40, y + 16, inner - factors_width - 460,
                        in_words(finding),
                        {.size = 24, .weight = is_told(finding) ? Weight::bold : Weight::normal});
    canvas_.text_within(factors_left + factors_width + 40, y + 36, inner - factors_width - 460,
                        weighed_in_words(finding), {.size = 17, .colour = grey});
  }

  void worst(double top) {
    if (worst_.empty())
      return;
    canvas_.text(margin, top + 40, "Where it is off most", {.size = 30, .weight = Weight::bold});
    constexpr double layer = margin + 60, name = layer + 90, region = name + 420, area = region + 230,
                     off = area + 170, lightness = off + 70;
    double y = top + heading_height + 14;
    const TextStyle small{.size = 20, .colour = grey};
    const TextStyle small_right{.size = 20, .align = Align::right, .colour = grey};
    canvas_.text(layer, y, "layer", small);
    canvas_.text(name, y, "powder", small);
    canvas_.text(region, y, "region", small);
    canvas_.text(area, y, "area", small_right);
    canvas_.text(off, y, "CIEDE2000", small_right);
    canvas_.text(lightness, y, "lightness", small);
    for (std::size_t i = 0; i < worst_.size(); ++i) {
      y += worst_row;
      const LayerFinding& of = comparison_.layers[worst_[i].layer];
      const RegionFinding& found = worst_[i].region;
      const TextStyle usual{.size = 24}, right{.size = 24, .align = Align::right};
      canvas_.text(margin, y, std::to_string(i + 1), {.size = 24, .weight = Weight::bold});
      canvas_.text(layer, y, std::to_string(of.layer + 1), usual);
      canvas_.text_within(name, y, region - name - 20, powder_of(record_, record_.layers[of.layer]).name,
                          usual);
      canvas_.text(region, y, std::to_string(found.id), usual);
      canvas_.text(area, y, fmt::format("{:.0f} cm\u00b2", found.area_cm2), right);
      canvas_.text(off, y, fmt::format("{:.1f}", found.mean_de00), right);
      canvas_.text(lightness, y, off_in_lightness(found.lighter), usual);
    }
  }

  const PlanRecord& record_;
  const PieceComparison& comparison_;
  std::vector<WorstRegion> worst_;
  std::array<std::pair<std::string, Image<Rgb8>>, 3> columns_;
  Canvas canvas_;
};

}  // namespace

Image<Rgb8> difference_picture(const PieceComparison& comparison) {
  Image<Rgb8> map(comparison.grid.width, comparison.grid.height);
  for (std::size_t i = 0; i < map.size(); ++i)
    map[i] = comparison.counts[i] != 0 ? difference_colour(static_cast<double>(comparison.de00[i]))
                                       : not_counted_colour;
  return map;
}

Image<Rgb8> comparison_sheet(const PlanRecord& record, const PieceComparison& comparison) {
  return ComparisonSheet(record, comparison).draw();
}

}  // namespace powderplan
