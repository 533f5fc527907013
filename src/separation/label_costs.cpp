#include "separation/label_costs.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "parallel.h"

namespace powderplan {
namespace {

// Nodes of the lattice in one spacing of the fades' own.
constexpr double nodes_in_a_spacing = 2;

// What the pairs of a label cost where those of its fades are there whose bits are set; empty: nothing
// anywhere.
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
    : colour_at_(colour_at), labels_(faded.stencils.labels.size()), step_(1) {
  for (const WeightedColour& colour : index.colours)
    metrics_.emplace_back(colour.lab);
  const std::size_t fades = faded.fades.size();
  double spacing = std::numeric_limits<double>::infinity();
  for (const HandLaid& fade : faded.fades)
    spacing = std::min(spacing, fade.amount.spacing() / pitch);
  const auto width = static_cast<std::size_t>(colour_at.width()),
             height = static_cast<std::size_t>(colour_at.height());
  // Without fades the looks are the same everywhere.
  step_ = fades == 0 ? std::max(width, height)
                     : std::max<std::size_t>(1, static_cast<std::size_t>(spacing / nodes_in_a_spacing));
  for (std::size_t x = 0; x < width; ++x)
    places_.push_back(place_of(x));
  columns_ = width / step_ + 2;
  const std::size_t rows = height / step_ + 2;

  struct Label {
    float load = 0;                                    // of its even coats
    std::vector<std::pair<std::size_t, float>> fades;  // on it, with their loads
    std::vector<float> contacts;
  };
  std::vector<Label> labels;
  const std::vector<float> nothing(fades, 0.0F);
  for (const Tones& tones : faded.stencils.labels) {
    Label label;
    label.load = static_cast<float>(total_load(recipe_of(faded, tones, nothing)).value());
    const std::vector<std::size_t> on = fades_on(faded, tones);
    label.contacts = contacts_of(faded, tones, on, pairs);
    for (const std::size_t f : on)
      label.fades.emplace_back(f, static_cast<float>(load_of(faded, f).value()));
    labels.push_back(std::move(label));
  }
  const LookTable looks(painter, faded, std::vector<std::uint8_t>(labels_, 1));
  nodes_.resize(rows * columns_ * labels_);
  for_each_block(rows, [&](std::size_t row) {
    std::vector<float> amounts(fades);
    Node* node = nodes_.data() + row * columns_ * labels_;
    // The last nodes may lie beyond the piece, where no field goes.
    const auto place_mm = [&](std::size_t at, std::size_t points) {
      return std::min(static_cast<double>(at * step_) + 0.5, static_cast<double>(points) - 0.5) *
             pitch.value();
    };
    for (std::size_t column = 0; column < columns_; ++column) {
      for (std::size_t f = 0; f < fades; ++f) {
        const SoftField& field = faded.fades[f].amount;
        amounts[f] = field.at(field.reach(place_mm(column, width), place_mm(row, height)));
      }
      for (std::size_t i = 0; i < labels_; ++i) {
        float load = labels[i].load;
        std::size_t there = 0;
        for (std::size_t k = 0; k < labels[i].fades.size(); ++k) {
          const auto& [fade, whole] = labels[i].fades[k];
          load += amounts[fade] * whole;
          there |= std::size_t{static_cast<double>(amounts[fade]) >= least_share_that_reacts} << k;
        }
        const LabPixel colour = looks.colour(static_cast<std::uint16_t>(i), amounts.data());
        const float contacts = labels[i].contacts.empty() ? 0 : labels[i].contacts[there];
        *node++ = {colour.l, colour.a, colour.b, static_cast<float>(price_of_load) * load + contacts};
      }
    }
  });
}

void FadedCosts::along(std::size_t point, std::size_t count, const std::uint16_t* labels,
                       float* costs) const {
  const std::size_t width = places_.size();
  while (count > 0) {
    const std::size_t x = point % width, here = std::min(count, width - x);
    const Place row = place_of(point / width);
    const Node* const above = nodes_.data() + row.node * columns_ * labels_;
    for (std::size_t i = 0; i < here; ++i) {
      const std::uint16_t colour = colour_at_[point + i];
      if (colour == ColourIndex::bare) {
        costs[i] = labels[i] == 0 ? 0 : cost_on_bare;
        continue;
      }
      const Place& place = places_[x + i];
      const Node* const corner = above + place.node * labels_ + labels[i];
      const Node &top_left = corner[0], &top_right = corner[labels_];
      const Node &low_left = corner[columns_ * labels_], &low_right = corner[(columns_ + 1) * labels_];
      Node seen;
      for (std::size_t c = 0; c < seen.size(); ++c) {
        const float top = top_left[c] + place.beyond * (top_right[c] - top_left[c]);
        const float low = low_left[c] + place.beyond * (low_right[c] - low_left[c]);
        seen[c] = top + row.beyond * (low - top);
      }
      const auto off = metrics_[colour].terms(seen[0], seen[1], seen[2]);
      costs[i] = std::sqrt(off[0] * off[0] + off[1] * off[1] + off[2] * off[2]) + seen[3];
    }
    point += here;
    count -= here;
    labels += here;
    costs += here;
  }
}

}  // namespace powderplan
