// label_colours (label_colours.h) for searches that look at tens of thousands of choices: single precision,
// coats from tables, colours as columns.
#pragma once

#include <memory>
#include <mutex>
#include <vector>

#include "optics/quick_bands.h"
#include "recipe/painter.h"
#include "separation/colour_metric.h"
#include "separation/label_colours.h"

namespace powderplan {

// How far a colour differs from that of label_colours at most, in L*, a* and b*.
inline constexpr double quick_labels_lab = 0.25;

class QuickLabels {
 public:
  // For coats of up to `heaviest`; heavier ones are taken as of that load. The painter must outlive it.
  QuickLabels(const Painter& painter, Load heaviest);
  ~QuickLabels();

  // The colours of the shape's labels, in its order. May be called from several threads at once.
  [[nodiscard]] LabColumns colours(const Choice& choice, const LabelShape& shape) const;

 private:
  // What one call works with; kept for the next one.
  struct Desk;
  [[nodiscard]] std::unique_ptr<Desk> desk() const;
  void mix_labels(const LabelShape& shape, Desk& desk, LabColumns& columns) const;

  const Painter& painter_;
  Load heaviest_;
  std::array<QuickBands, 3> weights_;  // what a band gives to X, Y and Z, as shares of the white's
  mutable std::mutex desks_lock_;
  mutable std::vector<std::unique_ptr<Desk>> desks_;
};

}  // namespace powderplan
