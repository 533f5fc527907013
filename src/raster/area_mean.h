// A picture made smaller while its rows come, so that nobody has to hold the large one.
#pragma once

#include <vector>

#include "raster/image.h"

namespace powderplan {

// Each new pixel is the mean over its area of what lies there; `channels` numbers a pixel, one after the
// other.
class AreaMean {
 public:
  // Neither side may grow.
  AreaMean(int width, int height, int channels, int new_width, int new_height);
  // Only rows [begin, end) of the new picture, the same to the last bit.
  AreaMean(int width, int height, int channels, int new_width, int new_height, int begin, int end);
  // The rows that are to be added, [first_row(), end_row()): all of them, or those that the part is made of.
  [[nodiscard]] int first_row() const { return first_; }
  [[nodiscard]] int end_row() const { return end_; }
  // The next row, width * channels numbers.
  void add(const float* row);
  // Once all rows are there: new_width * channels numbers a row.
  [[nodiscard]] const Image<float>& mean() const { return mean_; }

 private:
  // Where one of the old pixels goes: its first share to `place`, the rest to the one after.
  struct Part {
    int place = 0;
    float first = 0, rest = 0;
  };
  static std::vector<Part> parts(int length, int new_length);
  void add_to(int row, float share);

  int channels_, begin_;  // the first row of the new picture that is made
  int first_ = 0, end_ = 0, next_ = 0;
  std::vector<Part> across_, down_;
  std::vector<float> line_;
  Image<float> mean_;
};

}  // namespace powderplan
