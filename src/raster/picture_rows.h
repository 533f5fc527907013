// A picture that is made row by row, so that nobody has to hold all of it.
#pragma once

#include <algorithm>
#include <functional>
#include <memory>
#include <utility>

#include "colour/tristimulus.h"
#include "raster/image.h"

namespace powderplan {

// `row` fills in the pixels of row y, and is asked for each row once, from the top.
template <class T>
struct PictureRows {
  int width = 0, height = 0;
  std::function<void(int y, T* row)> row;
};

// Of a picture that somebody holds.
template <class T>
PictureRows<T> rows_of(const Image<T>& picture) {
  return {picture.width(), picture.height(),
          [&picture](int y, T* row) { std::copy_n(picture.row(y), picture.width(), row); }};
}

// The same, kept with the rows.
template <class T>
PictureRows<T> rows_of(Image<T>&& picture) {
  const int width = picture.width(), height = picture.height();
  return {width, height, [kept = std::make_shared<const Image<T>>(std::move(picture))](int y, T* row) {
            std::copy_n(kept->row(y), kept->width(), row);
          }};
}

template <class T>
Image<T> whole(const PictureRows<T>& rows) {
  Image<T> picture(rows.width, rows.height);
  for (int y = 0; y < rows.height; ++y)
    rows.row(y, picture.row(y));
  return picture;
}

// A picture with a strip below it; the narrower of both is followed by white to its right.
inline PictureRows<Rgb8> with_strip(PictureRows<Rgb8> picture, Image<Rgb8> strip) {
  const int width = std::max(picture.width, strip.width()), height = picture.height + strip.height();
  return {width, height, [picture = std::move(picture), strip = std::move(strip), width](int y, Rgb8* row) {
            constexpr Rgb8 white{255, 255, 255};
            if (y < picture.height) {
              picture.row(y, row);
              std::fill(row + picture.width, row + width, white);
            } else {
              std::copy_n(strip.row(y - picture.height), strip.width(), row);
              std::fill(row + strip.width(), row + width, white);
            }
          }};
}

}  // namespace powderplan
