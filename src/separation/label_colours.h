// Predicted colours of all labels of a choice at once.
#pragma once

#include <vector>

#include "recipe/painter.h"
#include "separation/separation.h"

namespace powderplan {

// How the labels of a choice hang together; it depends on the numbers of loads only, so that a search that
// changes loads and powders can keep it.
class LabelShape {
 public:
  LabelShape(const Choice& choice, std::size_t most_at_a_spot);
  [[nodiscard]] const std::vector<Tones>& labels() const { return labels_; }

  // A label is its parent with one more powder on top.
  struct Link {
    std::size_t parent = 0;
    std::size_t powder = 0;  // place in the choice
    std::uint8_t tone = 0;
    // The labels that hold a part of this label's powders, itself last; entry m holds the powders whose bits
    // are set in m (bit 0 = its lowest powder).
    std::vector<std::uint32_t> parts;
  };
  [[nodiscard]] const std::vector<Link>& links() const { return links_; }

 private:
  std::vector<Tones> labels_;
  std::vector<Link> links_;
};

// The colour of each label of the shape, in its order. Equal to Painter::xyz of its recipe up to rounding:
// the stack in which all of a label's powders cover is computed once, and each label mixes the stacks of its
// parts.
std::vector<Xyz> label_colours(const Painter& painter, const Choice& choice, const LabelShape& shape);

}  // namespace powderplan
