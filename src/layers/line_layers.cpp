#include "layers/line_layers.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <opencv2/imgproc.hpp>

#include "layers/line_order.h"
#include "layers/spots.h"
#include "optics/grain.h"
#include "separation/thinning.h"

namespace powderplan {
namespace {

// Edges of lines are planned in so many steps of their load, as fades are: points of the same look are
// computed once.
constexpr double load_step = 0.001;  // g/cm2
// A line is left out when more than this share of it is so far from any stroke.
// Where less than `least_kept` of all their length is left then, there are no lines at all.
constexpr double least_kept = 0.7;
constexpr double most_astray = 0.1, astray_mm = 1.0, astray_step_mm = 0.25;
// In so many steps amounts are told apart when powders are chosen; all divide 255.
constexpr Amount coarse_steps[] = {15, 5, 3, 1};

Amount stepped(double share) {
  return static_cast<Amount>(std::lround(share * whole_amount));
}

// Widths as the hand lays them.
void within(LinePlan& lines, const LineRules& rules) {
  for (LinePath& path : lines.paths) {
    for (double& width : path.width_mm)
      width = std::clamp(width, rules.least_width.value(), rules.most_width.value());
  }
}

// Whether much of a line runs far from any stroke: where strokes are so dense that they are a texture, lines
// between their crossings need not follow any.
bool is_astray(const LinePath& path, const cv::Mat& away, Millimetres pitch) {
  double astray = 0;
  for (std::size_t i = 1; i < path.points.size(); ++i) {
    const PointMm &a = path.points[i - 1], &b = path.points[i];
    const double length = std::hypot(b.x - a.x, b.y - a.y);
    const int parts = std::max(1, static_cast<int>(std::ceil(length / astray_step_mm)));
    for (int k = 0; k < parts; ++k) {
      const double s = (k + 0.5) / parts;
      const int x = static_cast<int>((a.x + s * (b.x - a.x)) / pitch.value());
      const int y = static_cast<int>((a.y + s * (b.y - a.y)) / pitch.value());
      if (away.at<float>(std::clamp(y, 0, away.rows - 1), std::clamp(x, 0, away.cols - 1)) * pitch.value() >
          astray_mm)
        astray += length / parts;
    }
  }
  return astray > most_astray * path.length_mm;
}

Image<double> shares_of(const LinePlan& lines, const Grid& grid, const LineRules& rules) {
  const Image<std::uint16_t> cover = drawn(lines, grid, rules);
  Image<double> shares(cover.width(), cover.height());
  for (std::size_t i = 0; i < shares.size(); ++i)
    shares[i] = static_cast<double>(cover[i]) / wholly_covered;
  return shares;
}

}  // namespace

LyingRecipes lying(const std::vector<Layer>& layers, const Grid& grid, const std::vector<bool>& left_out) {
  std::vector<Layer> lie;
  for (std::size_t i = 0; i < layers.size(); ++i) {
    if (left_out.empty() || !left_out[i])
      lie.push_back(layers[i]);
  }
  for (const Amount steps : coarse_steps) {
    const Spots spots(lie, grid.width, grid.height, steps);
    if (spots.count() > most_recipes_below && steps != 1)
      continue;
    LyingRecipes found{Image<std::uint16_t>(grid.width, grid.height), {}};
    for (std::size_t spot = 0; spot < std::min(spots.count(), most_recipes_below); ++spot)
      found.recipes.push_back(lie.empty() ? Recipe{} : recipe_at(spots, spot, lie));
    for (std::size_t i = 0; i < found.at.size(); ++i)
      found.at[i] =
          static_cast<std::uint16_t>(std::min<std::size_t>(spots.at()[i], found.recipes.size() - 1));
    return found;
  }
  return {};
}

LinePlan lines_of(const Image<std::uint8_t>& mask, const StrokeMap& strokes, const Grid& grid,
                  const LineRules& rules) {
  Image<std::uint8_t> cover = strokes.cover;
  for (std::size_t i = 0; i < cover.size(); ++i) {
    if (mask[i] == 0 && strokes.on[i] != 0)
      cover[i] = 0;
  }
  LinePlan lines = trace_lines(mask, cover, grid, rules);
  cv::Mat off(mask.height(), mask.width(), CV_8U), away;
  for (std::size_t i = 0; i < mask.size(); ++i)
    off.data[i] = mask[i] != 0 ? 0 : 1;
  cv::distanceTransform(off, away, cv::DIST_L2, cv::DIST_MASK_PRECISE);
  const std::size_t before = lines.paths.size();
  std::erase_if(lines.paths, [&](const LinePath& path) { return is_astray(path, away, grid.pitch); });
  if (lines.paths.size() != before) {
    const double all_mm = lines.length_mm;
    lines.length_mm = 0;
    for (const LinePath& path : lines.paths)
      lines.length_mm += path.length_mm;
    if (lines.length_mm < least_kept * all_mm)
      return {};
    order_paths(lines);
  }
  return lines;
}

Millimetres mean_width(const Image<std::uint8_t>& mask, const Grid& grid) {
  const Image<std::uint8_t> middle = thinned(mask);
  cv::Mat on(mask.height(), mask.width(), CV_8U), depth;
  for (std::size_t i = 0; i < mask.size(); ++i)
    on.data[i] = mask[i] != 0 ? 1 : 0;
  cv::distanceTransform(on, depth, cv::DIST_L2, cv::DIST_MASK_PRECISE);
  double sum = 0;
  std::size_t count = 0;
  for (int y = 0; y < mask.height(); ++y) {
    for (int x = 0; x < mask.width(); ++x) {
      if (middle.at(x, y) == 0)
        continue;
      // The nearest point beyond is half a point outside the edge; lines an even number of points wide have
      // no point in their middle.
      sum += 2 * static_cast<double>(depth.at<float>(y, x)) - 0.5;
      ++count;
    }
  }
  return count > 0 ? grid.pitch * (sum / static_cast<double>(count)) : Millimetres(0);
}

Load most_load_of_line(Millimetres width, Density density) {
  const double load = full_load.value() * (width / unfired_height(full_load, density));
  return Load(std::floor(load / load_step) * load_step);
}

Layer line_layer(Separation& separation, const LineChoice& choice, LinePlan lines, const LineRules& rules) {
  Layer layer;
  layer.technique = Technique::line;
  layer.powder = choice.powder;
  layer.nest = separation.choice.size();
  layer.load = choice.load;
  separation.choice.push_back(nest_of(choice.powder, {choice.load}));
  for (Tones& label : separation.labels)
    label.push_back(0);
  const Image<double> shares = shares_of(lines, separation.grid, rules);
  layer.amount = Image<Amount>(shares.width(), shares.height());
  std::map<std::uint16_t, std::uint16_t> with_line;
  for (std::size_t i = 0; i < shares.size(); ++i) {
    layer.amount[i] = stepped(shares[i]);
    if (shares[i] < 0.5)
      continue;
    std::uint16_t& label = separation.label_at[i];
    const auto [known, fresh] =
        with_line.try_emplace(label, static_cast<std::uint16_t>(separation.labels.size()));
    if (fresh) {
      Tones tones = separation.labels[label];
      tones.back() = 1;
      separation.labels.push_back(std::move(tones));
    }
    label = known->second;
  }
  within(lines, rules);
  layer.lines = std::move(lines);
  measure(layer, separation.grid);
  return layer;
}

void scratch(std::vector<Layer>& layers, const std::vector<std::size_t>& from, LinePlan lines,
             const Grid& grid, const LineRules& rules) {
  const Image<double> shares = shares_of(lines, grid, rules);
  for (const std::size_t place : from) {
    Layer& layer = layers[place];
    const double before = layer.amount_cm2;
    for (std::size_t i = 0; i < shares.size(); ++i) {
      if (shares[i] > 0 && layer.amount[i] != 0)
        layer.amount[i] = stepped((1 - shares[i]) * layer.amount[i] / whole_amount);
    }
    measure(layer, grid);
    layer.scratched_cm2 += before - layer.amount_cm2;
  }
  within(lines, rules);
  layers[from.back()].scratched = std::move(lines);
}

}  // namespace powderplan
