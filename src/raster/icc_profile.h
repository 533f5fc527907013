// ICC profiles through LittleCMS: from a device's numbers to linear light with sRGB primaries.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "raster/stored_picture.h"
#include "raster/to_linear.h"

namespace powderplan {

// One profile opened for one transform. Two can live at once in two threads: LittleCMS's errors stay in a
// context of its own and are not printed.
class IccProfile {
 public:
  // Empty when LittleCMS cannot make sense of the bytes or cannot transform from them.
  static std::optional<IccProfile> open(const std::vector<std::uint8_t>& bytes);
  IccProfile(IccProfile&&) noexcept;
  IccProfile& operator=(IccProfile&&) noexcept;
  ~IccProfile();

  // Why `bytes` cannot be used for a picture of this model, to go on "the embedded colour profile ...".
  static std::string why_not(const std::vector<std::uint8_t>& bytes, ColourModel picture);

  // What the profile's numbers are; only grey, RGB and CMYK profiles open.
  [[nodiscard]] ColourModel model() const;
  // Device numbers 0..1 (CMYK: 1 = full ink), interleaved, to linear sRGB primaries, interleaved by three.
  // Unclipped wherever the profile itself does not clip. May be called from several threads at once.
  void transform(const float* device, float* linear, std::size_t count) const;
  // The same as curves and a matrix, when that is all the profile is: exact and far faster.
  [[nodiscard]] std::optional<CurvesAndMatrix> curves(std::size_t codes) const;

 private:
  struct State;
  explicit IccProfile(std::unique_ptr<State> state);
  std::unique_ptr<State> state_;
};

}  // namespace powderplan
