#include "photo/mark_candidates.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>
#include <optional>

#include "photo/card.h"
#include "photo/ring_fit.h"

namespace powderplan {
namespace {

// A photo is looked through at this many pixels along its longer edge, and where that finds too few marks,
// at its own size; a small one enlarged.
constexpr int working_edge = 1600;
constexpr int smallest_edge = 1100;
// Widths of the surroundings, as shares of the longer edge.
constexpr std::array<double, 3> surroundings{1.0 / 40, 1.0 / 14, 1.0 / 5};
// Darker than the surroundings by this much of 255.
constexpr double threshold_lead = 6;
constexpr double smallest_radius = 6;  // px, of the outer edge
// Seen from 65 degrees off; less than that is refused later, with a better message.
constexpr double flattest = 0.42;
constexpr double least_match = 0.72;
constexpr double candidate_step = 0.5;  // mm

using Contours = std::vector<std::vector<cv::Point>>;

// Greys by the square root, which makes noise about even, white at 255.
cv::Mat1b greys_of(const cv::Mat1f& luminance) {
  constexpr int bins = 1024;
  std::array<int, bins> counts{};
  double top = 0;
  cv::minMaxLoc(luminance, nullptr, &top);
  if (!(top > 0))
    return cv::Mat1b(luminance.size(), std::uint8_t{0});
  for (const float v : luminance)
    ++counts[static_cast<std::size_t>(std::clamp(static_cast<double>(v) / top, 0.0, 1.0) * (bins - 1))];
  int white = bins - 1;
  for (std::size_t brighter = 0; white > 0; --white) {
    brighter += static_cast<std::size_t>(counts[static_cast<std::size_t>(white)]);
    if (brighter > luminance.total() / 200)
      break;
  }
  const double scale = bins / (top * (white + 1));
  cv::Mat1b greys(luminance.size());
  std::transform(luminance.begin(), luminance.end(), greys.begin(), [&](float v) {
    const double share = std::clamp(static_cast<double>(v) * scale, 0.0, 1.0);
    return static_cast<std::uint8_t>(std::lround(255 * std::sqrt(share)));
  });
  cv::GaussianBlur(greys, greys, {}, 0.8);
  return greys;
}

// The largest hole or island straight inside a contour.
int largest_inside(const Contours& contours, const std::vector<cv::Vec4i>& tree, int of) {
  int largest = -1;
  double area = 0;
  for (int child = tree[static_cast<std::size_t>(of)][2]; child >= 0;
       child = tree[static_cast<std::size_t>(child)][0]) {
    const double a = cv::contourArea(contours[static_cast<std::size_t>(child)]);
    if (a > area) {
      area = a;
      largest = child;
    }
  }
  return largest;
}

struct Ellipse {
  cv::Point2d centre;
  double longer, shorter, angle;  // radii; of the longer one, in radians
  [[nodiscard]] double radius() const { return std::sqrt(longer * shorter); }
};
std::optional<Ellipse> ellipse_of(const std::vector<cv::Point>& contour) {
  if (contour.size() < 8)
    return std::nullopt;
  const cv::RotatedRect box = cv::fitEllipse(contour);
  double a = static_cast<double>(box.size.width) / 2, b = static_cast<double>(box.size.height) / 2;
  double angle = static_cast<double>(box.angle) * std::numbers::pi / 180;
  if (a < b) {
    std::swap(a, b);
    angle += std::numbers::pi / 2;
  }
  if (!(b > 1) || !std::isfinite(a) || b / a < flattest * 0.8)
    return std::nullopt;
  // The contour's own area tells whether it is an ellipse at all; a contour runs through the middles of
  // its pixels, so half a pixel is open.
  const double area = cv::contourArea(contour);
  if (std::abs(area / (std::numbers::pi * a * b) - 1) > 0.12 + 1.0 / b)
    return std::nullopt;
  return Ellipse{
      {static_cast<double>(box.center.x) + 0.5, static_cast<double>(box.center.y) + 0.5}, a, b, angle};
}

// Of three edges within each other.
bool could_be_rings(const Ellipse& outer, const Ellipse& ring, const Ellipse& disc) {
  const double slack = 0.09 + 1.3 / outer.radius();
  const double off = 0.12 * outer.radius() + 0.7;
  return outer.radius() >= smallest_radius && outer.shorter / outer.longer >= flattest &&
         std::abs(ring.radius() / outer.radius() - mark_radii[1] / mark_radii[0]) < slack &&
         std::abs(disc.radius() / outer.radius() - mark_radii[2] / mark_radii[0]) < slack &&
         cv::norm(ring.centre - outer.centre) < off && cv::norm(disc.centre - outer.centre) < off;
}

void add_candidates(const cv::Mat1b& greys, int width, double scale, std::vector<MarkCandidate>& found) {
  cv::Mat1b dark;
  cv::adaptiveThreshold(greys, dark, 255, cv::ADAPTIVE_THRESH_MEAN_C, cv::THRESH_BINARY_INV, width,
                        threshold_lead);
  Contours contours;
  std::vector<cv::Vec4i> tree;
  cv::findContours(dark, contours, tree, cv::RETR_TREE, cv::CHAIN_APPROX_NONE);
  for (int i = 0; i < static_cast<int>(contours.size()); ++i) {
    if (contours[static_cast<std::size_t>(i)].size() < static_cast<std::size_t>(4 * smallest_radius))
      continue;
    const int ring = largest_inside(contours, tree, i);
    const int disc = ring < 0 ? -1 : largest_inside(contours, tree, ring);
    if (disc < 0)
      continue;
    const auto outer_edge = ellipse_of(contours[static_cast<std::size_t>(i)]);
    const auto ring_edge = ellipse_of(contours[static_cast<std::size_t>(ring)]);
    const auto disc_edge = ellipse_of(contours[static_cast<std::size_t>(disc)]);
    if (!outer_edge || !ring_edge || !disc_edge || !could_be_rings(*outer_edge, *ring_edge, *disc_edge))
      continue;
    // Half a pixel more all round: the contour runs through the middles of the outermost dark pixels.
    const double a = (outer_edge->longer + 0.5) / mark_radii[0] / scale;
    const double b = (outer_edge->shorter + 0.5) / mark_radii[0] / scale;
    const double c = std::cos(outer_edge->angle), s = std::sin(outer_edge->angle);
    MarkCandidate candidate;
    candidate.centre = {outer_edge->centre.x / scale, outer_edge->centre.y / scale};
    candidate.slope = {{{a * c, -b * s}, {a * s, b * c}}};
    found.push_back(candidate);
  }
}

// One of those that several thresholds have found.
std::vector<MarkCandidate> without_doubles(std::vector<MarkCandidate> all) {
  std::stable_sort(all.begin(), all.end(),
                   [](const auto& one, const auto& two) { return one.match > two.match; });
  std::vector<MarkCandidate> kept;
  for (const MarkCandidate& c : all) {
    const bool known = std::any_of(kept.begin(), kept.end(), [&](const MarkCandidate& k) {
      return std::hypot(c.centre.x - k.centre.x, c.centre.y - k.centre.y) <
             pixels_per_mm(k.slope)[1] * mark_radii[1];
    });
    if (!known && kept.size() < most_candidates)
      kept.push_back(c);
  }
  return kept;
}

std::vector<MarkCandidate> judged(const Image<float>& luminance, const std::vector<MarkCandidate>& raw) {
  // Many thresholds find the same mark: only one of each half pixel is worth a look.
  std::vector<MarkCandidate> looked_at;
  for (MarkCandidate c : raw) {
    const double near = 0.06 * pixels_per_mm(c.slope)[1] * mark_radii[0];
    if (std::any_of(looked_at.begin(), looked_at.end(), [&](const MarkCandidate& k) {
          return std::hypot(c.centre.x - k.centre.x, c.centre.y - k.centre.y) < near;
        }))
      continue;
    const RingFit fit = fit_rings(luminance, FlatView(c.centre, c.slope), {}, candidate_step);
    c.match = fit.match;
    c.has_eye = fit.has_eye;
    c.eye_lead = fit.eye_lead;
    looked_at.push_back(c);
  }
  std::erase_if(looked_at, [](const MarkCandidate& c) { return c.match < least_match; });
  return without_doubles(std::move(looked_at));
}

std::vector<MarkCandidate> candidates_at(const Image<float>& luminance, const cv::Mat1f& whole,
                                         double scale) {
  cv::Mat1f resized = whole;
  if (scale != 1)
    cv::resize(whole, resized, {}, scale, scale, scale < 1 ? cv::INTER_AREA : cv::INTER_CUBIC);
  const cv::Mat1b greys = greys_of(resized);
  const int edge = std::max(greys.cols, greys.rows);
  std::vector<MarkCandidate> raw;
  for (const double share : surroundings)
    add_candidates(greys, std::max(3, static_cast<int>(edge * share) | 1), scale, raw);
  return judged(luminance, raw);
}

}  // namespace

std::vector<MarkCandidate> mark_candidates(const Image<float>& luminance) {
  if (luminance.width() < 16 || luminance.height() < 16)
    return {};
  const cv::Mat1f whole(luminance.height(), luminance.width(), const_cast<float*>(luminance.data()));
  const int edge = std::max(luminance.width(), luminance.height());
  const double first = edge > working_edge ? static_cast<double>(working_edge) / edge : 1.0;
  std::vector<MarkCandidate> found = candidates_at(luminance, whole, first);
  if (found.size() >= 4)
    return found;
  const double second = edge > working_edge ? 1.0 : edge < smallest_edge ? 2.5 : 2.0;
  std::vector<MarkCandidate> more = candidates_at(luminance, whole, second);
  found.insert(found.end(), more.begin(), more.end());
  return without_doubles(std::move(found));
}

}  // namespace powderplan
