#include "plan/scratch_step.h"

#include <algorithm>
#include <map>
#include <opencv2/imgproc.hpp>

#include "colour/difference.h"
#include "layers/line_layers.h"
#include "layers/scratching.h"
#include "separation/line_choice.h"

namespace powderplan {
namespace {

constexpr std::uint8_t light = 2;

// The light strokes one by one: connected pieces, numbered from 1.
Image<int> pieces_of(const StrokeMap& strokes, int& count) {
  const int width = strokes.on.width(), height = strokes.on.height();
  Image<std::uint8_t> mask = strokes_of_kind(strokes, light);
  Image<int> ids(width, height);
  cv::Mat labels(height, width, CV_32S, ids.data());
  count = cv::connectedComponents(cv::Mat(height, width, CV_8U, mask.data()), labels, 8, CV_32S) - 1;
  return ids;
}

// For each piece the layer that lies topmost under most of it; layers.size(): none.
std::vector<std::size_t> topmost_under(const Image<int>& pieces, int count,
                                       const std::vector<Layer>& layers) {
  std::vector<std::vector<std::size_t>> points(static_cast<std::size_t>(count),
                                               std::vector<std::size_t>(layers.size() + 1, 0));
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    if (pieces[i] == 0)
      continue;
    std::size_t top = layers.size();
    for (std::size_t l = layers.size(); l-- > 0 && top == layers.size();) {
      if (layers[l].amount[i] != 0)
        top = l;
    }
    ++points[static_cast<std::size_t>(pieces[i] - 1)][top];
  }
  std::vector<std::size_t> topmost;
  for (const std::vector<std::size_t>& of_piece : points)
    topmost.push_back(
        static_cast<std::size_t>(std::max_element(of_piece.begin(), of_piece.end()) - of_piece.begin()));
  return topmost;
}

double mean_difference(const Painter& painter, const std::vector<LineSpot>& spots) {
  double sum = 0, weight = 0;
  for (const LineSpot& spot : spots) {
    sum += spot.weight * ciede2000(spot.wanted, painter.lab(spot.below));
    weight += spot.weight;
  }
  return weight > 0 ? sum / weight : 0;
}

// Whether these strokes come out about as well when scratched as when a powder is laid on top.
bool worth_scratching(const Painter& painter, const StrokeMap& strokes, const Grid& grid,
                      const std::vector<Layer>& layers, const std::vector<bool>& gone,
                      const ScratchRules& rules) {
  const LyingRecipes with = lying(layers, grid), without = lying(layers, grid, gone);
  const std::vector<LineSpot> on_top = spots_of(strokes, light, with.at, with.recipes).spots;
  const double scratched =
      mean_difference(painter, spots_of(strokes, light, without.at, without.recipes).spots);
  const double left_alone = mean_difference(painter, on_top);
  const auto laid =
      choose_line(painter, on_top, {rules.powders.usable, rules.powders.least_load, rules.powders.most_load});
  const double otherwise = laid ? std::min(laid->mean_de00, left_alone) : left_alone;
  return scratched <= left_alone - least_gain_of_line_layer &&
         scratched <= otherwise + worth_of_line_layer_de00;
}

}  // namespace

Image<std::uint8_t> scratch_strokes(const Painter& painter, const StrokeMap& strokes, const Grid& grid,
                                    const FiringPlan& firings, const ScratchRules& rules,
                                    std::vector<Layer>& layers) {
  Image<std::uint8_t> done(strokes.on.width(), strokes.on.height());
  int count = 0;
  const Image<int> pieces = pieces_of(strokes, count);
  if (count == 0 || layers.empty())
    return done;
  const std::vector<std::size_t> topmost = topmost_under(pieces, count, layers);
  for (std::size_t top = 0; top < layers.size(); ++top) {
    Image<int> here(pieces.width(), pieces.height());
    bool any = false;
    for (std::size_t i = 0; i < here.size(); ++i) {
      if (pieces[i] != 0 && topmost[static_cast<std::size_t>(pieces[i] - 1)] == top) {
        here[i] = pieces[i];
        any = true;
      }
    }
    if (!any)
      continue;
    const std::vector<double> shares =
        scratched_shares(layers[top].amount, here, count, grid, rules.smallest);
    StrokeMap these = strokes;
    Image<std::uint8_t> mask(here.width(), here.height());
    any = false;
    for (std::size_t i = 0; i < here.size(); ++i) {
      const bool even =
          here[i] != 0 && shares[static_cast<std::size_t>(here[i] - 1)] >= least_scratched_share;
      mask[i] = even ? 1 : 0;
      these.on[i] = even ? light : std::uint8_t{0};
      any = any || even;
    }
    if (!any)
      continue;
    std::vector<bool> gone(layers.size(), false);
    std::vector<std::size_t> from;
    for (std::size_t l = 0; l <= top; ++l) {
      if (firings.places[l].firing == firings.places[top].firing) {
        gone[l] = true;
        from.push_back(l);
      }
    }
    if (!worth_scratching(painter, these, grid, layers, gone, rules))
      continue;
    LinePlan lines = lines_of(mask, strokes, grid, rules.lines);
    if (lines.paths.empty())
      continue;
    scratch(layers, from, std::move(lines), grid, rules.lines);
    for (std::size_t i = 0; i < done.size(); ++i)
      done[i] |= mask[i];
  }
  return done;
}

bool scratches_hold(const std::vector<Layer>& layers, const FiringPlan& firings, const Grid& grid,
                    const LineRules& rules) {
  for (std::size_t top = 0; top < layers.size(); ++top) {
    if (!layers[top].scratched)
      continue;
    const Image<std::uint16_t> scratched = drawn(*layers[top].scratched, grid, rules);
    for (std::size_t l = 0; l < layers.size(); ++l) {
      if (firings.places[l].firing != firings.places[top].firing || layers[l].technique == Technique::line)
        continue;
      for (std::size_t i = 0; i < scratched.size(); ++i) {
        if (scratched[i] == wholly_covered && layers[l].amount[i] != 0)
          return false;
      }
    }
  }
  return true;
}

}  // namespace powderplan
