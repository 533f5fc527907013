#include "report/piece_comparison.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace powderplan {

double doubt_of(const PowderFinding& finding) {
  return std::max(clear_of * finding.off_by, least_told);
}

bool is_told(const PowderFinding& finding) {
  return std::abs(finding.factor - 1) > doubt_of(finding) && finding.off_by <= not_told * finding.factor;
}

std::string in_words(const PowderFinding& finding) {
  if (finding.off_by > not_told * finding.factor)
    return "the photo does not tell";
  if (!is_told(finding))
    return fmt::format("as planned, within {:.0f} %", 100 * doubt_of(finding));
  return fmt::format("{:.0f} % {} than planned (\u00b1 {:.0f})", 100 * std::abs(finding.factor - 1),
                     finding.factor > 1 ? "heavier" : "lighter", 100 * doubt_of(finding));
}

std::string weighed_in_words(const PowderFinding& finding) {
  if (!finding.weighed)
    return {};
  const double more = 100 * (*finding.weighed - 1);
  const std::string used =
      std::abs(more) < 100 * least_told
          ? "as much was used as planned"
          : fmt::format("{:.0f} % {} was used than planned", std::abs(more), more > 0 ? "more" : "less");
  if (finding.off_by > not_told * finding.factor)
    return used;
  // What the photo sees of each gram.
  const double strength = finding.factor / *finding.weighed;
  if (std::abs(strength - 1) <= doubt_of(finding) / *finding.weighed)
    return used + ": the powder is as strong as the shelf says";
  return fmt::format("{}: the powder is {:.0f} % {} than the shelf says; fire a step tile of it", used,
                     100 * std::abs(strength - 1), strength > 1 ? "stronger" : "weaker");
}

std::vector<WorstRegion> worst_regions(const PieceComparison& comparison, std::size_t count) {
  // A spot of a few points is nobody's concern.
  constexpr double least_cm2 = 1;
  std::vector<WorstRegion> all;
  for (std::size_t layer = 0; layer < comparison.layers.size(); ++layer)
    for (const RegionFinding& region : comparison.layers[layer].regions)
      if (region.area_cm2 >= least_cm2)
        all.push_back({layer, region});
  std::stable_sort(all.begin(), all.end(), [](const WorstRegion& a, const WorstRegion& b) {
    return a.region.mean_de00 > b.region.mean_de00;
  });
  all.resize(std::min(all.size(), count));
  return all;
}

}  // namespace powderplan
