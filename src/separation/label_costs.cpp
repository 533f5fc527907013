#include "separation/label_costs.h"

#include <array>
#include <cmath>

#include "colour/difference.h"
#include "parallel.h"

namespace powderplan {
namespace {

constexpr float steps = 255;

std::vector<float> contacts_of(const FadedChoice& faded, const Tones& tones,
                               const std::vector<std::size_t>& fades, const std::vector<PairPrice>& pairs) {
  std::vector<float> contacts(pairs.empty() ? 0 : std::size_t{1} << fades.size());
  std::vector<float> amounts(faded.fades.size(), 0.0F);
  for (std::size_t bits = 0; bits < contacts.size(); ++bits) {
    for (std::size_t i = 0; i < fades.size(); ++i)
      amounts[fades[i]] = (bits >> i & 1) != 0 ? 1.0F : 0.0F;
    contacts[bits] = static_cast<float>(price_of_contacts(recipe_of(faded, tones, amounts), pairs));
  }
  return contacts;
}

}  // namespace

FadedCosts::FadedCosts(const Painter& painter, const FadedChoice& faded, const ColourIndex& index,
                       const Image<std::uint16_t>& colour_at, Millimetres pitch,
                       const std::vector<PairPrice>& pairs)
    : index_(index),
      colour_at_(colour_at),
      fades_(faded.fades.size()),
      looks_(painter, faded, std::vector<std::uint8_t>(faded.stencils.labels.size(), 1)),
      amounts_(colour_at.size() * fades_) {
  const std::vector<float> nothing(fades_, 0.0F);
  for (const Tones& tones : faded.stencils.labels) {
    Label label;
    label.load = static_cast<float>(total_load(recipe_of(faded, tones, nothing)).value());
    const std::vector<std::size_t> fades = fades_on(faded, tones);
    label.contacts = contacts_of(faded, tones, fades, pairs);
    for (const std::size_t f : fades)
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
  std::size_t there = 0;
  for (std::size_t i = 0; i < own.fades.size(); ++i) {
    const auto& [fade, whole] = own.fades[i];
    load += amounts[fade] * whole;
    there |= std::size_t{static_cast<double>(amounts[fade]) >= least_share_that_reacts} << i;
  }
  return static_cast<float>(
      ciede2000(index_.colours[colour].lab, to_lab(looks_.colour(label, amounts.data()))) +
      price_of_load * static_cast<double>(load) +
      (own.contacts.empty() ? 0 : static_cast<double>(own.contacts[there])));
}

}  // namespace powderplan
