#include "separation/strokes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <optional>
#include <utility>
#include <vector>

#include "parallel.h"
#include "separation/nearest_point.h"
#include "separation/stroke_parts.h"
#include "separation/top_hat.h"

namespace powderplan {
namespace {

// Bare sheet against anything laid, as a difference like those of L*.
constexpr float bare_contrast = 50;
// The soft edge of a stroke reaches so far, and the colour of a stroke without it is found so near; in
// points.
constexpr int soft_edge = 2;
// In an enlarged picture it reaches up to so far, while it is still this different from its ground.
constexpr int blurred_edge = 5;
constexpr double trace_of_edge = 1;
// From within such an edge so many steps lead to the middle of the stroke, each to a contrast this much
// larger.
constexpr int steps_uphill = 2;
constexpr float uphill = 1.2F;
// Whether the ground is even is judged so far round about; a step of it counts no more than this, so that the
// edge of a solid area nearby does not matter much; and of the noise that is everywhere, so much is forgiven.
constexpr double ground_reach_mm = 3;
constexpr float most_step = 8;
constexpr double noise_forgiven = 0.5;
// A solid area is of a stroke's colour when it has this share of its contrast.
constexpr float same_ink = 0.75F;

// Strokes that cover the sheet so much more or less than their ground are told by that.
constexpr float least_alpha = 0.25F;

// Differences of L* that decide nothing.
constexpr float same_lightness = 2;

constexpr std::uint8_t darker = 1, lighter = 2;

cv::Mat disc_of(int radius) {
  return cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * radius + 1, 2 * radius + 1});
}

float step_between(const LabPixel& p, const LabPixel& q) {
  const float dl = p.l - q.l, da = p.a - q.a, db = p.b - q.b;
  return std::sqrt(dl * dl + da * da + db * db);
}

// Light that adds up where a stroke covers a point in part. Pictures mix the two colours of an edge in linear
// light when they are made smaller, and in codes when they are drawn; the power 2/3 of linear light lies
// between, and is the square of the cube root that L* is made of: a line comes out wrong by a fifth of a
// point at most.
cv::Vec3f mixing(const LabPixel& c) {
  const float fy = (c.l + 16) / 116, fx = fy + c.a / 500, fz = fy - c.b / 200;
  return {fx * std::abs(fx), fy * std::abs(fy), fz * std::abs(fz)};
}

// The picture on the sheet, and how much of each point it covers. One of a target refers to it.
class Look {
 public:
  Look(Image<PackedLab> colour, Image<std::uint8_t> alpha)
      : mixed_(std::move(colour)), alpha_(std::move(alpha)) {}
  Look(const Target& target, const Lab& sheet) : target_(&target) {
    if (target.alpha.empty() && target.bare.empty())
      return;
    mixed_ = target.as_it_is();
    const Xyz below = to_xyz(sheet);
    for (std::size_t i = 0; i < mixed_.size(); ++i) {
      if (const double share = alpha(i); share < 1)
        mixed_[i] = to_pixel(to_lab(to_xyz(to_lab(mixed_[i])) * share + below * (1 - share)));
    }
  }
  [[nodiscard]] const Image<PackedLab>& colour() const {
    return mixed_.empty() && target_ != nullptr ? target_->as_it_is() : mixed_;
  }
  [[nodiscard]] float alpha(std::size_t point) const {
    const Image<std::uint8_t>& alpha = target_ != nullptr ? target_->alpha : alpha_;
    if (!alpha.empty())
      return static_cast<float>(alpha[point]) / 255;
    return target_ != nullptr && target_->is_bare(point) ? 0.0F : 1.0F;
  }

 private:
  const Target* target_ = nullptr;
  Image<PackedLab> mixed_;  // of a target only where the sheet is seen somewhere
  Image<std::uint8_t> alpha_;
};

// Strokes with their soft edges, from how far they differ from their ground.
cv::Mat strokes_in(const cv::Mat& hat, const cv::Mat& values, bool low, const StrokeRules& rules,
                   Millimetres pitch) {
  double most = 0;
  cv::minMaxLoc(hat, nullptr, &most);
  if (most < rules.contrast)
    return cv::Mat::zeros(hat.size(), CV_8U);
  const cv::Mat strokes = long_parts(parts_holding(hat >= rules.faint, hat >= rules.contrast),
                                     rules.shortest / pitch, rules.slender, rules.gap / pitch);
  if (rules.swelling <= 1 || cv::countNonZero(strokes) == 0)
    return strokes;
  // What a larger disc takes away besides.
  const cv::Mat all =
      GreyDisc(rules.smallest * rules.swelling, pitch).stands_out(values, low, rules.contrast);
  cv::Mat thick = all & (strokes == 0), joined;
  cv::morphologyEx(thick, thick, cv::MORPH_OPEN, cv::Mat::ones(2, 2, CV_8U));
  const cv::Mat both = strokes | parts_between(thick, strokes);
  // What the opening left between them.
  cv::morphologyEx(both, joined, cv::MORPH_CLOSE, cv::Mat::ones(3, 3, CV_8U));
  return both | (joined & all);
}

struct Found {
  cv::Mat strokes;  // CV_8U: with their soft edges
  cv::Mat holes;    // CV_8U: and a little more, where the ground is not to be seen
  // CV_32F: square of all that is narrower than the disc, less what noise makes; let go of once the share
  // that is drawn has been told from it.
  cv::Mat energy;
};

Found find_all(const Look& look, const StrokeRules& rules, Millimetres pitch) {
  const int width = look.colour().width(), height = look.colour().height();
  Found found{cv::Mat::zeros(height, width, CV_8U), cv::Mat::zeros(height, width, CV_8U),
              cv::Mat::zeros(height, width, CV_32F)};
  const auto number = [&](std::size_t channel, std::size_t i) {
    const LabPixel colour = look.colour()[i];
    const float numbers[] = {colour.l, colour.a, colour.b, bare_contrast * (1 - look.alpha(i))};
    return numbers[channel];
  };
  const GreyDisc disc(rules.smallest, pitch);
  cv::Mat values(height, width, CV_32F);
  for (std::size_t channel = 0; channel < 4; ++channel) {
    // Each look goes on with a picture without what was found before.
    cv::Mat from = cv::countNonZero(found.holes) > 0 ? nearest_outside(found.holes) : cv::Mat();
    for (std::size_t i = 0; i < look.colour().size(); ++i)
      values.ptr<float>(0)[i] =
          number(channel, from.empty() ? i : static_cast<std::size_t>(from.ptr<int>(0)[i]));
    from.release();
    double least = 0, most = 0;
    cv::minMaxLoc(values, &least, &most);
    if (most - least < rules.contrast)
      continue;
    TopHats hats = strokes_of(values, disc, rules.faint, pitch);
    const auto noise = static_cast<float>(rules.faint / 2);
    for (std::size_t i = 0; i < hats.any.total(); ++i) {
      const float clear = std::max(0.0F, hats.any.ptr<float>(0)[i] - noise);
      found.energy.ptr<float>(0)[i] += clear * clear;
    }
    const cv::Mat traces = hats.any >= trace_of_edge;
    hats.any.release();
    std::array<cv::Mat, 2> kinds;
    for_each_block(2, [&](std::size_t k) {
      kinds[k] = strokes_in(k == 0 ? hats.low : hats.high, values, k == 0, rules, pitch);
    });
    const cv::Mat both = kinds[0] | kinds[1];
    // Their soft edges, and what is left of these in a blurred picture.
    cv::Mat wider, blurred;
    cv::dilate(both, wider, disc_of(soft_edge));
    cv::dilate(both, blurred, disc_of(blurred_edge));
    found.strokes |= both;
    found.holes |= wider | (blurred & traces);
  }
  return found;
}

// How far neighbouring points of the ground differ round about each point, once the noise of single points is
// smoothed away.
cv::Mat roughness_of(const Look& look, const cv::Mat& holes, Millimetres pitch) {
  const int width = holes.cols, height = holes.rows;
  cv::Mat unseen;
  cv::dilate(holes, unseen, cv::Mat::ones(3, 3, CV_8U));
  cv::Mat steps = cv::Mat::zeros(height, width, CV_32F), seen = steps.clone();
  for_each_row_band(height, [&](int begin, int end) {
    // The row below each, and one more on either side that its smoothing takes in.
    const int first = std::max(0, begin - 1), last = std::min(height, end + 2);
    Image<LabPixel> rows = unpacked_rows(look.colour(), first, last);
    cv::Mat smooth(rows.height(), width, CV_32FC3, rows.data());
    cv::blur(smooth, smooth, {3, 3});
    for (int y = begin; y < end; ++y) {
      const std::uint8_t* hidden = unseen.ptr<std::uint8_t>(y);
      const cv::Vec3f *here = smooth.ptr<cv::Vec3f>(y - first),
                      *below = smooth.ptr<cv::Vec3f>(std::min(y + 1, height - 1) - first);
      for (int x = 0; x < width; ++x) {
        if (hidden[x] != 0)
          continue;
        const cv::Vec3f right = here[std::min(x + 1, width - 1)] - here[x], down = below[x] - here[x];
        steps.at<float>(y, x) = std::min(most_step, std::sqrt(right.dot(right) + down.dot(down)));
        seen.at<float>(y, x) = 1;
      }
    }
  });
  const int across = 2 * static_cast<int>(std::lround(ground_reach_mm / pitch.value())) + 1;
  const double everywhere = cv::sum(steps)[0] / std::max(1.0, cv::sum(seen)[0]);
  cv::boxFilter(steps, steps, CV_32F, {across, across}, {-1, -1}, true, cv::BORDER_CONSTANT);
  cv::boxFilter(seen, seen, CV_32F, {across, across}, {-1, -1}, true, cv::BORDER_CONSTANT);
  // Where hardly any ground is seen, the mean of the whole picture counts.
  constexpr double little = 0.05;
  cv::Mat rough;
  cv::divide(steps + everywhere * little, seen + little, rough);
  return rough;
}

// For each point of `holes` the point near it that differs most from its ground: CV_32S, y * width + x. Where
// the edge of a stroke is blurred, more than one step uphill leads there.
cv::Mat strongest_near(const cv::Mat& contrast, const cv::Mat& holes) {
  cv::Mat strongest(contrast.size(), CV_32S);
  const cv::Mat disc = disc_of(soft_edge);
  for_each_row_band(contrast.rows, [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      for (int x = 0; x < contrast.cols; ++x) {
        cv::Point best{x, y};
        for (int dy = -soft_edge; dy <= soft_edge && holes.at<std::uint8_t>(y, x) != 0; ++dy) {
          for (int dx = -soft_edge; dx <= soft_edge; ++dx) {
            const int nx = x + dx, ny = y + dy;
            const bool there = nx >= 0 && ny >= 0 && nx < contrast.cols && ny < contrast.rows &&
                               disc.at<std::uint8_t>(dy + soft_edge, dx + soft_edge) != 0;
            if (there && contrast.at<float>(ny, nx) > contrast.at<float>(best))
              best = {nx, ny};
          }
        }
        strongest.at<int>(y, x) = best.y * contrast.cols + best.x;
      }
    }
  });
  const float* height = contrast.ptr<float>(0);
  for (int step = 0; step < steps_uphill; ++step) {
    const cv::Mat before = strongest.clone();
    const int* next = before.ptr<int>(0);
    for (int i = 0; i < static_cast<int>(contrast.total()); ++i) {
      int& here = strongest.ptr<int>(0)[i];
      if (height[next[here]] >= uphill * height[here])
        here = next[here];
    }
  }
  return strongest;
}

// How much of `whole` is in `part`; 1 where there is no whole.
float share_of(const cv::Vec3f& part, const cv::Vec3f& whole) {
  const float square = whole.dot(whole);
  return square > 1e-6F ? std::clamp(part.dot(whole) / square, 0.0F, 1.0F) : 1.0F;
}

std::uint8_t byte_of(float share) {
  return static_cast<std::uint8_t>(std::lround(share * 255));
}

// Which points a stroke's colours come from: its own without its soft edge, and its ground's.
struct Sources {
  cv::Mat ink, ground;  // CV_32S, y * width + x
};

// Solid areas near the strokes that have the colour of the nearest stroke.
void cover_solids(StrokeMap& map, const Look& look, const cv::Mat& holes, const Sources& sources,
                  Millimetres smallest, Millimetres pitch) {
  cv::Mat off(holes.size(), CV_8U), away;
  for (std::size_t i = 0; i < map.on.size(); ++i) {
    // Where a stroke has just met a solid area its ground is that area: it tells nothing.
    const auto ink = static_cast<std::size_t>(sources.ink.ptr<int>(0)[i]);
    const auto ground = static_cast<std::size_t>(sources.ground.ptr<int>(0)[i]);
    const bool tells = map.on[i] != 0 && (step_between(look.colour()[ink], look.colour()[ground]) > 1 ||
                                          std::abs(look.alpha(ink) - look.alpha(ground)) > least_alpha);
    off.ptr<std::uint8_t>(0)[i] = tells ? 0 : 1;
  }
  cv::distanceTransform(off, away, cv::DIST_L2, cv::DIST_MASK_5);
  const cv::Mat from = nearest_outside(off);
  for (std::size_t i = 0; i < map.on.size(); ++i) {
    if (holes.ptr<std::uint8_t>(0)[i] != 0 || away.ptr<float>(0)[i] > smallest / pitch)
      continue;
    const int stroke = from.ptr<int>(0)[i];
    const auto ink = static_cast<std::size_t>(sources.ink.ptr<int>(0)[stroke]);
    const auto ground = static_cast<std::size_t>(sources.ground.ptr<int>(0)[stroke]);
    if (off.ptr<std::uint8_t>(0)[stroke] != 0 || std::abs(look.alpha(i) - look.alpha(ink)) > least_alpha)
      continue;
    const cv::Vec3f under = mixing(look.colour()[ground]), whole = mixing(look.colour()[ink]) - under;
    const cv::Vec3f here = mixing(look.colour()[i]) - under, rest = here - whole;
    if (share_of(here, whole) >= same_ink && rest.dot(rest) <= (1 - same_ink) * whole.dot(whole))
      map.cover[i] = 255;
  }
}

// What of all that is narrow lies in strokes on even ground.
double share_drawn(const Found& found, const cv::Mat& contrast, const cv::Mat& rough) {
  cv::Mat even = (rough <= even_ground * contrast) & (contrast > 0);
  cv::dilate(even, even, disc_of(soft_edge));
  even &= found.holes != 0;
  const double total = cv::sum(found.energy)[0];
  cv::Mat drawn = cv::Mat::zeros(found.energy.size(), CV_32F);
  found.energy.copyTo(drawn, even);
  return total > 0 ? cv::sum(drawn)[0] / total : 0;
}

// What was found, and by how much it differs from the ground beside it.
struct Drawn {
  Found found;
  cv::Mat from;      // CV_32S: which point the ground of each comes from, y * width + x
  cv::Mat contrast;  // CV_32F: 0 outside the holes
  double share = 0;  // see StrokeMap::drawing_share
};

// Without strokes there are no maps of them.
Drawn drawn_in(const Look& look, const StrokeRules& rules, Millimetres pitch) {
  Drawn drawn{find_all(look, rules, pitch), {}, {}};
  if (cv::countNonZero(drawn.found.strokes) == 0)
    return drawn;
  drawn.from = nearest_outside(drawn.found.holes);
  drawn.contrast = cv::Mat::zeros(drawn.from.size(), CV_32F);
  const std::uint8_t* hole = drawn.found.holes.ptr<std::uint8_t>(0);
  for (std::size_t i = 0; i < look.colour().size(); ++i) {
    const auto source = static_cast<std::size_t>(drawn.from.ptr<int>(0)[i]);
    if (hole[i] != 0)
      drawn.contrast.ptr<float>(0)[i] = std::hypot(step_between(look.colour()[i], look.colour()[source]),
                                                   bare_contrast * (look.alpha(i) - look.alpha(source)));
  }
  drawn.share = share_drawn(drawn.found, drawn.contrast, roughness_of(look, drawn.found.holes, pitch));
  drawn.found.energy.release();
  return drawn;
}

// Means of two by two points; a last odd row or column is left out.
Look halved(const Look& look) {
  const Image<PackedLab>& whole = look.colour();
  const int width = whole.width() / 2, height = whole.height() / 2;
  Image<PackedLab> colour(width, height);
  Image<std::uint8_t> alpha(width, height);
  for_each_row_band(height, [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      for (int x = 0; x < width; ++x) {
        LabPixel mean;
        float cover = 0;
        for (const cv::Point p : {cv::Point(0, 0), cv::Point(1, 0), cv::Point(0, 1), cv::Point(1, 1)}) {
          const std::size_t at =
              static_cast<std::size_t>(2 * y + p.y) * static_cast<std::size_t>(whole.width()) +
              static_cast<std::size_t>(2 * x + p.x);
          const LabPixel c = whole[at];
          mean.l += c.l / 4;
          mean.a += c.a / 4;
          mean.b += c.b / 4;
          cover += look.alpha(at) / 4;
        }
        colour.at(x, y) = mean;
        alpha.at(x, y) = static_cast<std::uint8_t>(std::lround(cover * 255));
      }
    }
  });
  return {std::move(colour), std::move(alpha)};
}

// A quick look at points of twice the size, which has the last word only where it sees less than half of the
// drawing that is asked for; the share that it saw is then returned. Lines of one point lose half their
// contrast in the mean, so half the contrast is enough for it. Drawings that are accepted show it nearly the
// share that they have, or three quarters of it at least where their lines run through washes.
std::optional<double> too_little_drawn(const Look& look, const StrokeRules& rules, Millimetres pitch) {
  constexpr double half_seen = 0.5;
  constexpr double fewest_points = 6;  // across the smallest width: with fewer, too little is left
  if (rules.smallest / pitch < fewest_points || rules.least_drawing_share <= 0)
    return {};
  StrokeRules wider = rules;
  wider.contrast /= 2;
  wider.faint /= 2;
  const double share = drawn_in(halved(look), wider, pitch * 2).share;
  return share < half_seen * rules.least_drawing_share ? std::optional(share) : std::nullopt;
}

}  // namespace

Image<std::uint8_t> strokes_of_kind(const StrokeMap& strokes, std::uint8_t kind) {
  Image<std::uint8_t> mask(strokes.on.width(), strokes.on.height());
  for (std::size_t i = 0; i < mask.size(); ++i)
    mask[i] = strokes.on[i] == kind ? 1 : 0;
  return mask;
}

StrokeMap find_strokes(const Target& target, const StrokeRules& rules) {
  const int width = target.wanted.width(), height = target.wanted.height();
  const Millimetres pitch = target.grid.pitch;
  const auto no_strokes = [&](double drawing_share) {
    return StrokeMap{Image<std::uint8_t>(width, height),
                     Image<std::uint8_t>(width, height),
                     Image<PackedLab>(width, height),
                     target.wanted,
                     target.bare,
                     drawing_share};
  };
  if (target.wanted.empty())
    return no_strokes(0);
  const Look look(target, rules.sheet);
  if (const auto share = too_little_drawn(look, rules, pitch))
    return no_strokes(*share);
  const Drawn drawn = drawn_in(look, rules, pitch);
  if (drawn.from.empty() || drawn.share < rules.least_drawing_share)
    return no_strokes(drawn.share);

  StrokeMap map = no_strokes(drawn.share);
  const Found& found = drawn.found;
  const cv::Mat &from = drawn.from, &contrast = drawn.contrast;
  const auto source = [&](std::size_t i) { return static_cast<std::size_t>(from.ptr<int>(0)[i]); };
  for (std::size_t i = 0; i < map.on.size(); ++i) {
    map.ground[i] = target.wanted[source(i)];
    if (!target.bare.empty())
      map.ground_bare[i] = target.bare[source(i)];
  }
  const cv::Mat strongest = strongest_near(contrast, found.holes);
  const Sources sources{strongest, from};
  for (std::size_t i = 0; i < map.on.size(); ++i) {
    if (found.holes.ptr<std::uint8_t>(0)[i] == 0)
      continue;
    const auto best = static_cast<std::size_t>(strongest.ptr<int>(0)[i]);
    const LabPixel under = look.colour()[source(i)];
    const float laid = look.alpha(best) - look.alpha(source(i));  // below 0: the stroke is bare
    const bool by_alpha = std::abs(laid) > least_alpha;
    const float cover = by_alpha ? std::clamp((look.alpha(i) - look.alpha(source(i))) / laid, 0.0F, 1.0F)
                                 : share_of(mixing(look.colour()[i]) - mixing(under),
                                            mixing(look.colour()[best]) - mixing(under));
    map.cover[i] = byte_of(cover);
    if (found.strokes.ptr<std::uint8_t>(0)[i] == 0 || map.cover[i] < 128 ||
        contrast.ptr<float>(0)[best] < rules.contrast)
      continue;
    if (by_alpha)
      map.on[i] = laid > 0 ? darker : lighter;
    else
      map.on[i] = look.colour()[best].l() > under.l + same_lightness ? lighter : darker;
    map.ink[i] = target.wanted[best];
  }
  cover_solids(map, look, found.holes, sources, rules.smallest, pitch);
  return map;
}

}  // namespace powderplan
