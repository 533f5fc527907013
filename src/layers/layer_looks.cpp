#include "layers/layer_looks.h"

#include <algorithm>
#include <array>
#include <optional>

#include "colour/quick_difference.h"
#include "layers/fired_look.h"
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

// So many that the tables of coats are worth making.
constexpr std::size_t looks_at_once = 4096;
// Differences of so many points are worked out together.
constexpr std::size_t at_once = 256;

// Pairs of colours whose difference is asked for, so many that they are worked out together.
class Pairs {
 public:
  [[nodiscard]] std::size_t size() const { return count_; }
  [[nodiscard]] bool full() const { return count_ == at_once; }
  void add(const LabPixel& wanted, const LabPixel& other) {
    const std::array<float, 6> values{wanted.l, wanted.a, wanted.b, other.l, other.a, other.b};
    for (std::size_t k = 0; k < values.size(); ++k)
      rows_[k][count_] = values[k];
    ++count_;
  }
  // In the order in which they were added. It goes on empty.
  const std::array<float, at_once>& differences() {
    quick_ciede2000({rows_[0].data(), rows_[1].data(), rows_[2].data()},
                    {rows_[3].data(), rows_[4].data(), rows_[5].data()}, differences_.data(), count_);
    count_ = 0;
    return differences_;
  }

 private:
  std::size_t count_ = 0;
  std::array<std::array<float, at_once>, 6> rows_;
  std::array<float, at_once> differences_;
};

}  // namespace

LayerLooks::LayerLooks(const std::vector<Layer>& layers, const Painter& painter, const Target& target,
                       int cell)
    : layers_(&layers),
      painter_(&painter),
      target_(&target),
      heaviest_(load_of_all(layers)),
      quick_(painter, heaviest_),
      cell_(cell),
      spot_of_cell_(cells_over(target.grid.width, cell), cells_over(target.grid.height, cell)),
      error_of_cell_(spot_of_cell_.width(), spot_of_cell_.height()) {
  // Cells are mostly like the one before them or the one above, which makes look-ups short.
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
      if (spots_.empty() || levels != spots_[spot]) {
        const std::uint32_t above = y > 0 ? spot_of_cell_.at(x, y - 1) : 0;
        spot = y > 0 && levels == spots_[above] ? above : spot_with(levels);
      }
      spot_of_cell_.at(x, y) = spot;
    }
  }
  look_at(std::vector<bool>(spots_.size(), true));
  fill_errors(error_of_cell_, [&](int x, int y) { return std::optional(spot_of_cell_.at(x, y)); });
}

template <class SpotAt>
void LayerLooks::fill_errors(Image<float>& errors, const SpotAt& spot_at) const {
  for_each_row_band(errors.height(), [&](int begin, int end) {
    Pairs pairs;
    std::array<float*, at_once> to;
    const auto work_out = [&] {
      const std::size_t count = pairs.size();
      const std::array<float, at_once>& differences = pairs.differences();
      for (std::size_t i = 0; i < count; ++i)
        *to[i] = differences[i];
    };
    for (int y = begin; y < end; ++y) {
      for (int x = 0; x < errors.width(); ++x) {
        const std::optional<std::uint32_t> spot = spot_at(x, y);
        if (!spot)
          continue;
        const cv::Point p = middle_of(x, y);
        to[pairs.size()] = &errors.at(x, y);
        pairs.add(target_->wanted.at(p.x, p.y), labs_[*spot]);
        if (pairs.full())
          work_out();
      }
    }
    work_out();
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
  const auto look_from = [&](QuickPainter& quick, std::size_t begin) {
    for (std::size_t i = begin; i < std::min(fresh.size(), begin + looks_at_once); ++i)
      labs_[fresh[i]] = to_pixel(quick.lab(recipe_of(spots_[fresh[i]], *layers_)));
  };
  // After a change of some points few spots are new: making tables for them would take longer than they do.
  if (fresh.size() <= looks_at_once)
    look_from(quick_, 0);
  else
    for_each_block((fresh.size() + looks_at_once - 1) / looks_at_once, [&](std::size_t b) {
      QuickPainter quick(*painter_, heaviest_);
      look_from(quick, b * looks_at_once);
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
  Image<float> cost = error_of_cell_;
  fill_errors(cost, [&](int x, int y) {
    const std::uint32_t spot = spot_of_cell_.at(x, y);
    const bool counts = then[spot] != spot && !is_bare(middle_of(x, y));
    return counts ? std::optional(then[spot]) : std::nullopt;
  });
  for (std::size_t i = 0; i < cost.size(); ++i)
    cost[i] -= error_of_cell_[i];
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
    Pairs with, without;
    for (std::size_t i = b * at_once; i < std::min(points.size(), (b + 1) * at_once); ++i) {
      if (now[i] == then[i] || is_bare(points[i]))
        continue;
      const LabPixel wanted = target_->wanted.at(points[i].x, points[i].y);
      without.add(wanted, labs_[then[i]]);
      with.add(wanted, labs_[now[i]]);
    }
    const std::size_t count = with.size();
    const std::array<float, at_once>&after = without.differences(), &before = with.differences();
    for (std::size_t i = 0; i < count; ++i)
      sums[b] += static_cast<double>(after[i]) - static_cast<double>(before[i]);
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
  const LabPixel wanted = target_->wanted.at(p.x, p.y), look = labs_[spot];
  float difference = 0;
  quick_ciede2000({&wanted.l, &wanted.a, &wanted.b}, {&look.l, &look.a, &look.b}, &difference, 1);
  return difference;
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
