// From light as a share of white paper's to colours: by the paper, by a neutral card or by a printed chart.
#pragma once

#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "photo/card_photo.h"

namespace powderplan {

struct Balance {
  // Linear sRGB = matrix * (light, each channel to the power `exponent`), row by row.
  std::array<std::array<double, 3>, 3> matrix{};
  double exponent = 1;
  [[nodiscard]] Xyz operator()(const LinearRgb& share_of_paper) const;
};

// A piece of the card as the balance needs it.
struct BalancePiece {
  LinearRgb light;   // share of what white paper would show there
  bool good = true;  // neither clipped nor outside the photo, no channel at nothing
};
using ReadPiece = std::function<BalancePiece(const BoxMm&)>;

// What the user should know of the balance goes to `notes`. Throws Problem (input), its place `file`.
struct BalanceTask {
  const CardLayout& card;
  ReadPiece read;
  double border_mm;  // kept from the edges of what lies in the reference's place
  std::filesystem::path file;
  std::vector<std::string>& notes;
};

Balance balance_by(const PaperReference& paper);
// Refuses what is not even, not grey, or not as light against the paper as it should be: paper seems to
// reflect 55 to 120 %.
Balance balance_by(const NeutralReference& neutral, const BalanceTask& task);
// A 3 by 3 matrix and one exponent, fitted to the patches by least squares, each patch weighed by how much
// lightness its light makes; see most_chart_residual. Patches that are clipped do not count.
Balance balance_by(const ChartReference& chart, const BalanceTask& task);
// CIEDE2000, mean over the patches: above it the chart is refused.
inline constexpr double most_chart_residual = 4.5;

}  // namespace powderplan
