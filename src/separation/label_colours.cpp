#include "separation/label_colours.h"

#include <unordered_map>

namespace powderplan {
namespace {

// A label as one number: its tones as digits, each in the base of its powder.
std::uint64_t code_of(const Tones& label, const Choice& choice) {
  std::uint64_t code = 0;
  for (std::size_t p = 0; p < label.size(); ++p)
    code = code * (choice[p].loads.size() + 1) + label[p];
  return code;
}

}  // namespace

LabelShape::LabelShape(const Choice& choice, std::size_t most_at_a_spot)
    : labels_(all_labels(choice, most_at_a_spot)), links_(labels_.size()) {
  std::unordered_map<std::uint64_t, std::uint32_t> place;
  for (std::size_t i = 0; i < labels_.size(); ++i)
    place.emplace(code_of(labels_[i], choice), static_cast<std::uint32_t>(i));
  links_[0].parts = {0};
  for (std::size_t i = 1; i < labels_.size(); ++i) {
    const Tones& label = labels_[i];
    std::vector<std::size_t> held;
    for (std::size_t p = 0; p < label.size(); ++p) {
      if (label[p] != 0)
        held.push_back(p);
    }
    Link& link = links_[i];
    link.powder = held.back();
    link.tone = label[held.back()];
    Tones below = label;
    below[held.back()] = 0;
    link.parent = place.at(code_of(below, choice));
    for (std::size_t mask = 0; mask < std::size_t{1} << held.size(); ++mask) {
      Tones part(label.size(), 0);
      for (std::size_t bit = 0; bit < held.size(); ++bit) {
        if ((mask >> bit & 1) != 0)
          part[held[bit]] = label[held[bit]];
      }
      link.parts.push_back(place.at(code_of(part, choice)));
    }
  }
}

std::vector<Xyz> label_colours(const Painter& painter, const Choice& choice, const LabelShape& shape) {
  // One covering layer for each tone of each powder.
  std::vector<std::vector<CoveringLayer>> layers(choice.size());
  for (std::size_t p = 0; p < choice.size(); ++p) {
    Load load;
    for (const Load step : choice[p].loads) {
      load += step;
      layers[p].push_back(painter.layer({choice[p].powder, load}));
    }
  }
  const std::size_t count = shape.labels().size();
  std::vector<StackState> covered(count);
  std::vector<Xyz> look(count), colour(count);
  covered[0] = painter.bare();
  colour[0] = look[0] = painter.look(covered[0]);
  for (std::size_t i = 1; i < count; ++i) {
    const LabelShape::Link& link = shape.links()[i];
    covered[i] = painter.laid(covered[link.parent], layers[link.powder][link.tone - 1U]);
    look[i] = painter.look(covered[i]);
    // Shares of the parts: each powder doubles the list into "does not cover" and "covers".
    const Tones& tones = shape.labels()[i];
    std::vector<double> share{1.0};
    for (std::size_t p = 0; p < tones.size(); ++p) {
      if (tones[p] == 0)
        continue;
      const double cover = layers[p][tones[p] - 1U].cover;
      const std::size_t before = share.size();
      for (std::size_t m = 0; m < before; ++m) {
        share.push_back(share[m] * cover);
        share[m] *= 1 - cover;
      }
    }
    for (std::size_t m = 0; m < share.size(); ++m)
      colour[i] = colour[i] + look[link.parts[m]] * share[m];
  }
  return colour;
}

}  // namespace powderplan
