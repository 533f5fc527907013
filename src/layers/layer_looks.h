// What layers look like while their openings are changed: how much the colour difference (CIEDE2000) to the
// target rises where some of them are missing.
#pragma once

#include <cstdint>
#include <opencv2/core/types.hpp>
#include <span>
#include <string>
#include <unordered_map>
#include <vector>

#include "layers/cell_costs.h"
#include "layers/layer.h"
#include "recipe/quick_painter.h"
#include "separation/target.h"

namespace powderplan {

// Amounts of fades are rounded to so many steps for the looks.
inline constexpr int fade_levels = 15;

class LayerLooks {
 public:
  // The middle point of each cell, `cell` points wide, stands for all of it. The arguments must live as long.
  LayerLooks(const std::vector<Layer>& layers, const Painter& painter, const Target& target, int cell);

  // Of each cell, 0 where none of these layers lies or the target is bare.
  CellCosts cost_without(std::span<const std::size_t> missing);
  // The same where these points have changed since, without looking at the rest again.
  void bring_up_to_date(CellCosts& cost, std::span<const std::size_t> missing,
                        std::span<const cv::Point> points);
  // Summed over points, in the unit of CIEDE2000 times cm2; of each point itself, not of its cell.
  double rise_without(std::span<const std::size_t> missing, std::span<const cv::Point> points);
  // With these amounts of one layer in place of its own.
  double rise_with(std::size_t layer, std::span<const Amount> amounts, std::span<const cv::Point> points);

  // To be called with all points whose amounts have changed, after the change.
  void refresh(std::span<const cv::Point> points);

 private:
  using Levels = std::string;  // one character a layer

  [[nodiscard]] bool is_bare(cv::Point p) const {
    return !target_->bare.empty() && target_->bare.at(p.x, p.y) != 0;
  }
  [[nodiscard]] cv::Point middle_of(int column, int row) const;
  [[nodiscard]] Levels levels_at(cv::Point p) const;
  std::uint32_t spot_with(const Levels& levels);
  // For each spot the one that it is without these layers.
  std::vector<std::uint32_t> without(std::span<const std::size_t> missing);
  // The cells whose middles are among the points.
  [[nodiscard]] std::vector<cv::Point> cells_of(std::span<const cv::Point> points) const;
  [[nodiscard]] float error_of(cv::Point cell, std::uint32_t spot) const;
  // The errors of all cells, each with the spot that spot_at(column, row) names; where it names none, what is
  // there stays.
  template <class SpotAt>
  void fill_errors(Image<float>& errors, const SpotAt& spot_at) const;
  // Computes the colours of those spots that are marked and have none yet.
  void look_at(const std::vector<bool>& spots);
  double summed_rise(const std::vector<std::uint32_t>& now, const std::vector<std::uint32_t>& then,
                     std::span<const cv::Point> points);

  const std::vector<Layer>* layers_;
  const Painter* painter_;
  const Target* target_;
  Load heaviest_;       // that any spot carries
  QuickPainter quick_;  // for a few spots, with the tables that it has made already
  int cell_;
  std::unordered_map<Levels, std::uint32_t> number_;
  std::vector<Levels> spots_;
  std::vector<LabPixel> labs_;
  std::vector<bool> looked_at_;
  Image<std::uint32_t> spot_of_cell_;
  Image<float> error_of_cell_;  // the colour difference as the layers are
};

}  // namespace powderplan
