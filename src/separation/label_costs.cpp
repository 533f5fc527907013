#include "separation/label_costs.h"

#include <array>
#include <cmath>

#include "colour/difference.h"
#include "parallel.h"

namespace powderplan {
namespace {

constexpr float steps = 255;

}  // namespace

FadedCosts::FadedCosts(const Painter& painter, const FadedChoice& faded, const ColourIndex& index,
                       const Image<std::uint16_t>& colour_at, Millimetres pitch)
    : index_(index),
      colour_at_(colour_at),
      fades_(faded.fades.size()),
      looks_(painter, faded, std::vector<std::uint8_t>(faded.stencils.labels.size(), 1)),
      amounts_(colour_at.size() * fades_) {
  const std::vector<float> nothing(fades_, 0.0F);
  for (const Tones& tones : faded.stencils.labels) {
    Label label;
    label.load = static_cast<float>(total_load(recipe_of(faded, tones, nothing)).value());
    for (const std::size_t f : fades_on(faded, tones))
      label.fades.emplace_back(f, static_cast<float>(load_of(faded, f).value()));
    labels_.push_back(std::move(label));
  }
  const Grid grid{pitch, colour_at.width(), colour_at.height()};
  for (std::size_t f = 0; f < fades_; ++f) {
    const Image<float> field = faded.fades[f].amount.on(grid);
    for (std::size_t i = 0; i < field.size(); ++i)
      amounts_[i * fades_ + f] = static_cast<std::uint8_t>(std::lround(field[i] * steps));
  }
}

float FadedCosts::at(std::size_t point, std::uint16_t label) const {
  const std::uint16_t colour = colour_at_[point];
  if (colour == ColourIndex::bare)
    return label == 0 ? 0 : cost_on_bare;
  std::array<float, most_fades_in_a_plan> amounts;
  for (std::size_t f = 0; f < fades_; ++f)
    amounts[f] = static_cast<float>(amounts_[point * fades_ + f]) / steps;
  const Label& own = labels_[label];
  float load = own.load;
  for (const auto& [fade, whole] : own.fades)
    load += amounts[fade] * whole;
  return static_cast<float>(
      ciede2000(index_.colours[colour].lab, to_lab(looks_.colour(label, amounts.data()))) +
      price_of_load * static_cast<double>(load));
}

}  // namespace powderplan
