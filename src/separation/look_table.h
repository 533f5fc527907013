// Colours of labels whose fades vary, looked up: the optical model on a lattice of shares, and between its
// nodes the logarithms of X, Y and Z taken as linear. So clear powders come out right on few nodes: their
// light falls exponentially with the load (Bouguer, Lambert).
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <vector>

#include "separation/faded_choice.h"
#include "separation/target.h"

namespace powderplan {

class LookTable {
 public:
  // Only the labels marked in `used` are computed. `like`: what is the same there (labels that hold the same
  // loads and the same fades) is taken from it.
  LookTable(const Painter& painter, const FadedChoice& faded, const std::vector<std::uint8_t>& used,
            const LookTable* like = nullptr);

  // `amounts` holds one share (0..1) a fade.
  [[nodiscard]] LabPixel colour(std::uint16_t label, const float* amounts) const {
    return look(label, amounts, none).colour;
  }
  // The colour, and how fast it changes with one fade's share (per unit of share); nothing where the fade
  // does not lie on the label.
  struct Look {
    LabPixel colour, slope;
  };
  [[nodiscard]] Look look(std::uint16_t label, const float* amounts, std::size_t fade) const;

 private:
  static constexpr std::size_t none = ~std::size_t{0};
  using Logs = std::array<float, 4>;  // of X, Y, Z; the last is 0 and makes four a vector
  struct Label {
    std::vector<std::size_t> fades;  // that lie on it
    int nodes = 1;                   // along each
    // At its nodes; first fade fastest. Tables that are alike share them.
    std::shared_ptr<const std::vector<Logs>> logs;
    std::vector<Load> loads;  // of those fades
    Recipe whole;             // where every fade has its whole load
  };
  std::vector<Label> labels_;
};

// A number for every combination of shares, each rounded to one of `levels`; closer together where a little
// more changes the look more.
int level_of(float amount, int levels);
float amount_of(int level, int levels);

}  // namespace powderplan
