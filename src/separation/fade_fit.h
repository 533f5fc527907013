// Load fields fitted to the picture, the openings held.
#pragma once

#include <vector>

#include "separation/colour_metric.h"
#include "separation/faded_choice.h"
#include "separation/look_table.h"
#include "separation/target.h"

namespace powderplan {

// Points of the picture on which fields are fitted: they vary slowly, so that a part of the points says
// enough.
class FadeSamples {
 public:
  // Every so many points, at most about `most` in all. Bare points are sampled too.
  FadeSamples(const Target& target, std::size_t most);

  struct Sample {
    double x_mm = 0, y_mm = 0;
    std::size_t point = 0;  // of the target's grid
    std::uint16_t label = 0;
    bool bare = false;
  };
  // Takes the labels of a map over the same piece, of any pitch.
  void set_labels(const Image<std::uint16_t>& label_at);
  // By the new number of each label.
  void renumber_labels(const std::vector<std::uint16_t>& number);

  [[nodiscard]] const Grid& grid() const { return grid_; }
  [[nodiscard]] const std::vector<Sample>& all() const { return samples_; }
  [[nodiscard]] const std::vector<LocalMetric>& metrics() const { return metrics_; }
  [[nodiscard]] std::vector<std::uint8_t> labels_used(std::size_t labels) const;

 private:
  Grid grid_;
  std::vector<Sample> samples_;
  std::vector<LocalMetric> metrics_;
};

// Mean over the samples of sqrt(1 + d^2) - 1, d the local metric's difference (near CIEDE2000): the square
// for what is nearly right, the difference itself for what is not (pseudo-Huber); powder on bare glass costs
// its load instead.
double fade_cost(const FadeSamples& samples, const FadedChoice& faded, const LookTable& looks);

// Improves the fields of `which` (places in `faded.fades`) one after the other, `rounds` times: Gauss-Newton
// steps through the slopes of the optical model, each a weighted least-squares problem in the weights of the
// spots, bounded to 0..1, solved by projected relaxation. Returns the cost reached; it never rises.
double fit_fades(FadedChoice& faded, const FadeSamples& samples, const LookTable& looks,
                 const std::vector<std::size_t>& which, int rounds, int steps);

}  // namespace powderplan
