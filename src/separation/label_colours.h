// Predicted colours of all labels of a choice at once.
#pragma once

#include <cstdint>
#include <vector>

#include "recipe/painter.h"
#include "separation/separation.h"

namespace powderplan {

// How the labels of a choice hang together. It depends on how many layers each nest has and on which of them
// are of one powder, not on loads nor on which powders these are (see pattern_of), so that a search that
// changes loads and powders can keep it.
class LabelShape {
 public:
  LabelShape(const Choice& choice, std::vector<Tones> labels);
  [[nodiscard]] const std::vector<Tones>& labels() const { return labels_; }

  // A layer of the choice.
  struct Place {
    std::uint8_t nest = 0, step = 0;  // step counts from 0
    friend bool operator<(const Place& a, const Place& b) {
      return a.nest != b.nest ? a.nest < b.nest : a.step < b.step;
    }
  };
  // Layers of one powder that lie on one another with nothing between: they fuse to one coat.
  using Coat = std::vector<Place>;
  [[nodiscard]] const std::vector<Coat>& coats() const { return coats_; }

  // A stack in which every coat covers: another stack with one more coat on top. The first is bare sheet.
  struct Stack {
    std::uint32_t below = 0, coat = 0;
  };
  [[nodiscard]] const std::vector<Stack>& stacks() const { return stacks_; }

  // The coats of a label, bottom to top, and its stacks: entry m holds the coats whose bits are set in m
  // (bit 0 = its lowest coat).
  struct Parts {
    std::vector<std::uint32_t> coats, stacks;
  };
  [[nodiscard]] const std::vector<Parts>& parts() const { return parts_; }

 private:
  std::vector<Tones> labels_;
  std::vector<Coat> coats_;
  std::vector<Stack> stacks_;
  std::vector<Parts> parts_;
};

// Equal for choices whose labels have the same shape: for each nest in turn the numbers of its powders in the
// order in which they are met, closed by ~0.
std::vector<std::size_t> pattern_of(const Choice& choice);

// The colour of each label of the shape, in its order. Equal to Painter::xyz of its recipe up to rounding:
// each stack in which all coats cover is computed once, and each label mixes its stacks.
std::vector<Xyz> label_colours(const Painter& painter, const Choice& choice, const LabelShape& shape);

}  // namespace powderplan
