#include "layers/layer_looks.h"

#include <algorithm>

#include "colour/difference.h"
#include "parallel.h"

namespace powderplan {
namespace {

char level_of(Amount amount) {
  constexpr std::uint32_t whole = whole_amount;
  return static_cast<char>((std::uint32_t{amount} * fade_levels + whole / 2) / whole);
}

Recipe recipe_of(const std::string& levels, const std::vector<Layer>& layers) {
  Recipe recipe;
  for (std::size_t i = 0; i < layers.size(); ++i) {
    if (levels[i] != 0)
      lay_on(recipe, {layers[i].powder, layers[i].load * (static_cast<double>(levels[i]) / fade_levels)});
  }
  return recipe;
}

// Work on so many colours or points at a time.
constexpr std::size_t at_once = 256;

}  // namespace

LayerLooks::LayerLooks(const std::vector<Layer>& layers, const Painter& painter, const Target& target,
                       int cell)
    : layers_(&layers),
      painter_(&painter),
      target_(&target),
      cell_(cell),
      spot_of_cell_(cells_over(target.grid.width, cell), cells_over(target.grid.height, cell)),
      error_of_cell_(spot_of_cell_.width(), spot_of_cell_.height()) {
  // Rows of equal cells make most look-ups short.
  Levels last;
  std::uint32_t spot = 0;
  std::vector<Levels> row(static_cast<std::size_t>(spot_of_cell_.width()), Levels(layers.size(), 0));
  for (int y = 0; y < spot_of_cell_.height(); ++y) {
    for (std::size_t i = 0; i < layers.size(); ++i) {
      const Amount* amounts = layers[i].amount.row(middle_of(0, y).y);
      for (int x = 0; x < spot_of_cell_.width(); ++x)
        row[static_cast<std::size_t>(x)][i] = level_of(amounts[middle_of(x, y).x]);
    }
    for (int x = 0; x < spot_of_cell_.width(); ++x) {
      const Levels& levels = row[static_cast<std::size_t>(x)];
      if (levels != last || spots_.empty()) {
        spot = spot_with(levels);
        last = levels;
      }
      spot_of_cell_.at(x, y) = spot;
    }
  }
  look_at(std::vector<bool>(spots_.size(), true));
  for_each_row_band(spot_of_cell_.height(), [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      for (int x = 0; x < spot_of_cell_.width(); ++x) {
        error_of_cell_.at(x, y) = error_of({x, y}, spot_of_cell_.at(x, y));
      }
    }
  });
}

cv::Point LayerLooks::middle_of(int column, int row) const {
  return {std::min(column * cell_ + cell_ / 2, target_->grid.width - 1),
          std::min(row * cell_ + cell_ / 2, target_->grid.height - 1)};
}

LayerLooks::Levels LayerLooks::levels_at(cv::Point p) const {
  Levels levels(layers_->size(), 0);
  for (std::size_t i = 0; i < layers_->size(); ++i)
    levels[i] = level_of((*layers_)[i].amount.at(p.x, p.y));
  return levels;
}

std::uint32_t LayerLooks::spot_with(const Levels& levels) {
  const auto [entry, fresh] = number_.try_emplace(levels, static_cast<std::uint32_t>(spots_.size()));
  if (fresh) {
    spots_.push_back(levels);
    labs_.emplace_back();
    looked_at_.push_back(false);
  }
  return entry->second;
}

std::vector<std::uint32_t> LayerLooks::without(std::span<const std::size_t> missing) {
  std::vector<std::uint32_t> then(spots_.size());
  for (std::size_t spot = 0; spot < then.size(); ++spot) {
    Levels levels = spots_[spot];
    for (const std::size_t layer : missing)
      levels[layer] = 0;
    then[spot] = levels == spots_[spot] ? static_cast<std::uint32_t>(spot) : spot_with(levels);
  }
  return then;
}

void LayerLooks::look_at(const std::vector<bool>& spots) {
  std::vector<std::size_t> fresh;
  for (std::size_t spot = 0; spot < spots.size(); ++spot) {
    if (spots[spot] && !looked_at_[spot])
      fresh.push_back(spot);
  }
  for_each_block((fresh.size() + at_once - 1) / at_once, [&](std::size_t b) {
    Coats coats;
    for (std::size_t i = b * at_once; i < std::min(fresh.size(), (b + 1) * at_once); ++i)
      labs_[fresh[i]] = to_lab(painter_->xyz(recipe_of(spots_[fresh[i]], *layers_), coats));
  });
  for (const std::size_t spot : fresh)
    looked_at_[spot] = true;
}

CellCosts LayerLooks::cost_without(std::span<const std::size_t> missing) {
  const std::vector<std::uint32_t> then = without(missing);
  std::vector<bool> lies(then.size(), false), looked(spots_.size(), false);
  for (std::size_t i = 0; i < spot_of_cell_.size(); ++i)
    lies[spot_of_cell_[i]] = true;
  for (std::size_t spot = 0; spot < then.size(); ++spot)
    looked[then[spot]] = looked[then[spot]] || (lies[spot] && then[spot] != spot);
  look_at(looked);
  Image<float> cost(spot_of_cell_.width(), spot_of_cell_.height(), 0);
  for_each_row_band(cost.height(), [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      for (int x = 0; x < cost.width(); ++x) {
        const std::uint32_t spot = spot_of_cell_.at(x, y);
        if (then[spot] != spot && !is_bare(middle_of(x, y)))
          cost.at(x, y) = error_of({x, y}, then[spot]) - error_of_cell_.at(x, y);
      }
    }
  });
  return {std::move(cost), cell_};
}

double LayerLooks::summed_rise(const std::vector<std::uint32_t>& now, const std::vector<std::uint32_t>& then,
                               std::span<const cv::Point> points) {
  std::vector<bool> looked(spots_.size(), false);
  for (std::size_t i = 0; i < points.size(); ++i)
    looked[now[i]] = looked[then[i]] = true;
  look_at(looked);
  std::vector<double> sums((points.size() + at_once - 1) / at_once, 0);
  for_each_block(sums.size(), [&](std::size_t b) {
    for (std::size_t i = b * at_once; i < std::min(points.size(), (b + 1) * at_once); ++i) {
      if (now[i] == then[i] || is_bare(points[i]))
        continue;
      const Lab wanted = to_lab(target_->wanted.at(points[i].x, points[i].y));
      sums[b] += ciede2000(wanted, labs_[then[i]]) - ciede2000(wanted, labs_[now[i]]);
    }
  });
  double sum = 0;
  for (const double part : sums)
    sum += part;
  return sum * target_->grid.point_cm2();
}

double LayerLooks::rise_without(std::span<const std::size_t> missing, std::span<const cv::Point> points) {
  std::vector<std::uint32_t> now, then;
  Levels last;
  for (const cv::Point& p : points) {
    Levels levels = levels_at(p);
    if (!now.empty() && levels == last) {
      now.push_back(now.back());
      then.push_back(then.back());
      continue;
    }
    last = levels;
    now.push_back(spot_with(levels));
    for (const std::size_t layer : missing)
      levels[layer] = 0;
    then.push_back(spot_with(levels));
  }
  return summed_rise(now, then, points);
}

double LayerLooks::rise_with(std::size_t layer, std::span<const Amount> amounts,
                             std::span<const cv::Point> points) {
  std::vector<std::uint32_t> now, then;
  for (std::size_t i = 0; i < points.size(); ++i) {
    Levels levels = levels_at(points[i]);
    now.push_back(spot_with(levels));
    levels[layer] = level_of(amounts[i]);
    then.push_back(spot_with(levels));
  }
  return summed_rise(now, then, points);
}

std::vector<cv::Point> LayerLooks::cells_of(std::span<const cv::Point> points) const {
  std::vector<cv::Point> cells;
  for (const cv::Point& p : points) {
    const cv::Point cell(p.x / cell_, p.y / cell_);
    if (middle_of(cell.x, cell.y) == p)
      cells.push_back(cell);
  }
  return cells;
}

float LayerLooks::error_of(cv::Point cell, std::uint32_t spot) const {
  const cv::Point p = middle_of(cell.x, cell.y);
  return static_cast<float>(ciede2000(to_lab(target_->wanted.at(p.x, p.y)), labs_[spot]));
}

void LayerLooks::refresh(std::span<const cv::Point> points) {
  const std::vector<cv::Point> cells = cells_of(points);
  for (const cv::Point& cell : cells)
    spot_of_cell_.at(cell.x, cell.y) = spot_with(levels_at(middle_of(cell.x, cell.y)));
  std::vector<bool> looked(spots_.size(), false);
  for (const cv::Point& cell : cells)
    looked[spot_of_cell_.at(cell.x, cell.y)] = true;
  look_at(looked);
  for (const cv::Point& cell : cells)
    error_of_cell_.at(cell.x, cell.y) = error_of(cell, spot_of_cell_.at(cell.x, cell.y));
}

void LayerLooks::bring_up_to_date(CellCosts& cost, std::span<const std::size_t> missing,
                                  std::span<const cv::Point> points) {
  const std::vector<cv::Point> cells = cells_of(points);
  std::vector<std::uint32_t> then;
  for (const cv::Point& cell : cells) {
    Levels levels = spots_[spot_of_cell_.at(cell.x, cell.y)];
    for (const std::size_t layer : missing)
      levels[layer] = 0;
    then.push_back(spot_with(levels));
  }
  std::vector<bool> looked(spots_.size(), false);
  for (const std::uint32_t spot : then)
    looked[spot] = true;
  look_at(looked);
  for (std::size_t i = 0; i < cells.size(); ++i) {
    const bool counts =
        then[i] != spot_of_cell_.at(cells[i].x, cells[i].y) && !is_bare(middle_of(cells[i].x, cells[i].y));
    cost.set(cells[i].x, cells[i].y,
             counts ? error_of(cells[i], then[i]) - error_of_cell_.at(cells[i].x, cells[i].y) : 0.0F);
  }
}

}  // namespace powderplan
