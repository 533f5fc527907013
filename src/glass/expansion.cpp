#include "glass/expansion.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "problem.h"

namespace powderplan {
namespace {

constexpr double per_million = 1e6;

template <class Glass>
double expansion_of(const Palette& palette, const Glass& glass) {
  return glass.expansion_per_k.value_or(palette.glass.expansion_per_k);
}

template <class Glass, class Other>
Mismatch between(const Palette& palette, const Glass& one, const Other& other) {
  return mismatch_of(expansion_of(palette, one), expansion_of(palette, other), palette.glass.strain);
}

template <class Added, class There>
void refuse_against(const Palette& palette, const Added& added, std::string_view kind,
                    const std::vector<There>& others, std::string_view other_kind, const std::string& place) {
  for (const There& other : others) {
    const Mismatch mismatch = between(palette, added, other);
    if (mismatch.ppm > most_mismatch_ppm)
      throw Problem(
          ProblemKind::input, place,
          fmt::format("{} \"{}\" (expansion {:.3g} per K) and {} \"{}\" ({:.3g} per K) shrink differently by "
                      "{}; above {:.0f} ppm glass is likely to fracture",
                      kind, added.id, expansion_of(palette, added), other_kind, other.id,
                      expansion_of(palette, other), shown(mismatch), most_mismatch_ppm),
          "correct 'expansion_per_k', or keep the two in separate palettes");
  }
}

}  // namespace

Mismatch mismatch_of(double expansion_per_k, double other_per_k, Celsius strain) {
  const double kelvins = std::max(0.0, (strain - room_temperature).value());
  const double strain_left = std::abs(expansion_per_k - other_per_k) * kelvins;
  return {strain_left * per_million, held_stress_mpa_per_k(strain_left)};
}

std::vector<MismatchedPair> mismatches_of(const Palette& palette) {
  std::vector<MismatchedPair> pairs;
  const auto add = [&](const auto& one, const auto& other) {
    if (const Mismatch mismatch = between(palette, one, other); mismatch.ppm > 0)
      pairs.push_back({one.id, other.id, mismatch});
  };
  for (std::size_t i = 0; i < palette.powders.size(); ++i)
    for (std::size_t j = i + 1; j < palette.powders.size(); ++j)
      add(palette.powders[i], palette.powders[j]);
  for (const Powder& powder : palette.powders)
    for (const Sheet& sheet : palette.sheets)
      add(powder, sheet);
  return pairs;
}

std::string shown(const Mismatch& mismatch) {
  return fmt::format("{:.0f} ppm, {:.{}f} MPa", mismatch.ppm, mismatch.stress_mpa,
                     mismatch.stress_mpa < 9.95 ? 1 : 0);
}

void refuse_mismatch(const Palette& palette, const Powder& added, const std::string& place) {
  refuse_against(palette, added, "powder", palette.powders, "powder", place);
  refuse_against(palette, added, "powder", palette.sheets, "sheet", place);
}

void refuse_mismatch(const Palette& palette, const Sheet& added, const std::string& place) {
  refuse_against(palette, added, "sheet", palette.powders, "powder", place);
}

}  // namespace powderplan
