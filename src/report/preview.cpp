#include "report/preview.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "colour/observer.h"
#include "parallel.h"
#include "report/point_looks.h"
#include "report/quick_srgb.h"

namespace powderplan {

PictureRows<Rgb8> rows_at(const PlanRecord& record, const Moment& moment, View view) {
  const Grid& grid = record.separation.grid;
  return {grid.width, grid.height,
          [looks = std::make_shared<PointLooks<Rgb8>>(record, moment, view)](int y, Rgb8* row) {
            looks->row(y, row);
          }};
}

PictureRows<Rgb8> rows_at(const PlanRecord& record, const Moment& moment, View view, const Grid& coarse) {
  return {coarse.width, coarse.height,
          [looks = std::make_shared<PointLooks<Rgb8>>(record, moment, view), coarse,
           fine = record.separation.grid](int y, Rgb8* row) {
            const std::size_t width = static_cast<std::size_t>(coarse.width),
                              first = static_cast<std::size_t>(y) * width;
            for (std::size_t x = 0; x < width; ++x)
              row[x] = looks->at(middle_of(first + x, coarse, fine));
          }};
}

Image<Rgb8> picture_at(const PlanRecord& record, const Moment& moment, View view) {
  const Grid& grid = record.separation.grid;
  Image<Rgb8> picture(grid.width, grid.height);
  looks_by_rows<Rgb8>(record, moment, view, picture);
  return picture;
}

Image<Rgb8> fired_preview(const PlanRecord& record, View view) {
  return picture_at(record, moment_finished(record), view);
}

Image<Rgb8> after_firing(const PlanRecord& record, std::size_t firing, View view) {
  return picture_at(record, moment_after(firing), view);
}

Image<Rgb8> before_firing(const PlanRecord& record, std::size_t firing) {
  return picture_at(record, moment_before(record, firing), View::wall);
}

bool pictured(const PlanRecord& record, std::size_t point) {
  return record.bare.empty() || record.bare[point] == 0;
}

Rgb8 bare_colour(const PlanRecord& record) {
  const Observer observer(light_of(record));
  return to_rgb8(to_linear_rgb(observer(seen(ground_of(record, record.view), {}))));
}

PictureRows<Rgb8> target_rows(const PlanRecord& record) {
  const Rgb8 sheet = bare_colour(record);
  const int width = record.target.width();
  return {width, record.target.height(), [&record, sheet, width](int y, Rgb8* row) {
            const std::size_t first = static_cast<std::size_t>(y) * static_cast<std::size_t>(width);
            for (std::size_t x = 0; x < static_cast<std::size_t>(width); ++x)
              row[x] = pictured(record, first + x) ? record.target[first + x] : sheet;
          }};
}

Image<Rgb8> target_picture(const PlanRecord& record) {
  return whole(target_rows(record));
}

int height_at_width(int width, int height, int new_width) {
  return std::max(1, static_cast<int>(std::lround(static_cast<double>(height) * new_width / width)));
}

Shrinking::Shrinking(int width, int height, int new_width, int new_height)
    : Shrinking(width, height, new_width, new_height, 0, new_height) {}

Shrinking::Shrinking(int width, int height, int new_width, int new_height, int begin, int end)
    : width_(width),
      mean_(width, height, 3, new_width, new_height, begin, end),
      light_(3 * static_cast<std::size_t>(width)) {}

Shrinking::Shrinking(int width, int height, int most_width)
    : Shrinking(width, height, std::min(width, most_width),
                width <= most_width ? height : height_at_width(width, height, most_width)) {}

void Shrinking::add(const Rgb8* row) {
  static const std::array<float, 256> light = [] {
    std::array<float, 256> table{};
    for (std::size_t i = 0; i < table.size(); ++i)
      table[i] = static_cast<float>(srgb_decode(static_cast<double>(i) / 255.0));
    return table;
  }();
  for (std::size_t x = 0; x < static_cast<std::size_t>(width_); ++x) {
    light_[3 * x] = light[row[x].r];
    light_[3 * x + 1] = light[row[x].g];
    light_[3 * x + 2] = light[row[x].b];
  }
  mean_.add(light_.data());
}

Image<Rgb8> Shrinking::picture() const {
  const Image<float>& mean = mean_.mean();
  Image<Rgb8> picture(mean.width() / 3, mean.height());
  for (std::size_t i = 0; i < picture.size(); ++i)
    picture[i] = quick_rgb8({static_cast<double>(mean[3 * i]), static_cast<double>(mean[3 * i + 1]),
                             static_cast<double>(mean[3 * i + 2])});
  return picture;
}

PictureRows<Rgb8> passing(PictureRows<Rgb8> rows, std::vector<Shrinking*> into) {
  const int width = rows.width, height = rows.height;
  return {width, height, [rows = std::move(rows), into = std::move(into)](int y, Rgb8* row) {
            rows.row(y, row);
            for (Shrinking* const shrinking : into)
              shrinking->add(row);
          }};
}

Image<Rgb8> shrunk(const PictureRows<Rgb8>& rows, int new_width, int new_height) {
  Shrinking shrinking(rows.width, rows.height, new_width, new_height);
  std::vector<Rgb8> row(static_cast<std::size_t>(rows.width));
  for (int y = 0; y < rows.height; ++y) {
    rows.row(y, row.data());
    shrinking.add(row.data());
  }
  return shrinking.picture();
}

std::vector<Image<Rgb8>> shrunk_at(const PlanRecord& record, const std::vector<Moment>& moments, View view,
                                   const Grid& coarse, int new_width, int new_height) {
  std::vector<Image<Rgb8>> pictures(moments.size());
  for (Image<Rgb8>& picture : pictures)
    picture = Image<Rgb8>(new_width, new_height);
  const Grid& fine = record.separation.grid;
  const auto width = static_cast<std::size_t>(coarse.width);
  // Few, because each looks at its own points anew.
  constexpr int parts = 8;
  for_each_block(parts, [&](std::size_t part) {
    const auto row = [&](std::size_t at) { return static_cast<int>(at) * new_height / parts; };
    const int begin = row(part), end = row(part + 1);
    if (begin == end)
      return;
    PointLooks<Rgb8> looks(record, moments, view);
    std::vector<Shrinking> shrinkings;
    for (std::size_t m = 0; m < moments.size(); ++m)
      shrinkings.emplace_back(coarse.width, coarse.height, new_width, new_height, begin, end);
    std::vector<Rgb8> rows(moments.size() * width);
    for (int y = shrinkings.front().first_row(); y < shrinkings.front().end_row(); ++y) {
      const std::size_t first = static_cast<std::size_t>(y) * width;
      for (std::size_t x = 0; x < width; ++x) {
        const Rgb8* const colours =
            looks.at_all(coarse == fine ? first + x : middle_of(first + x, coarse, fine));
        for (std::size_t m = 0; m < moments.size(); ++m)
          rows[m * width + x] = colours[m];
      }
      for (std::size_t m = 0; m < moments.size(); ++m)
        shrinkings[m].add(rows.data() + m * width);
    }
    for (std::size_t m = 0; m < moments.size(); ++m) {
      const Image<Rgb8> rows_of_part = shrinkings[m].picture();
      std::copy_n(rows_of_part.data(), rows_of_part.size(), pictures[m].row(begin));
    }
  });
  return pictures;
}

namespace {

Image<Rgb8> averaged(const Image<Rgb8>& picture, int width, int height) {
  Shrinking shrinking(picture.width(), picture.height(), width, height);
  for (int y = 0; y < picture.height(); ++y)
    shrinking.add(picture.row(y));
  return shrinking.picture();
}

Image<Rgb8> enlarged(const Image<Rgb8>& picture, int width, int height) {
  cv::Mat from(picture.height(), picture.width(), CV_8UC3), to;
  for (std::size_t i = 0; i < picture.size(); ++i)
    from.ptr<cv::Vec3b>()[i] = {picture[i].r, picture[i].g, picture[i].b};
  cv::resize(from, to, {width, height}, 0, 0, cv::INTER_LINEAR);
  Image<Rgb8> out(width, height);
  for (std::size_t i = 0; i < out.size(); ++i) {
    const cv::Vec3b& p = to.ptr<cv::Vec3b>()[i];
    out[i] = {p[0], p[1], p[2]};
  }
  return out;
}

}  // namespace

Image<Rgb8> shrunk(const Image<Rgb8>& picture, int most_width) {
  return picture.width() <= most_width
             ? picture
             : averaged(picture, most_width, height_at_width(picture.width(), picture.height(), most_width));
}

Image<Rgb8> at_width(const Image<Rgb8>& picture, int width) {
  return at_size(picture, width, height_at_width(picture.width(), picture.height(), width));
}

Image<Rgb8> at_size(const Image<Rgb8>& picture, int width, int height) {
  if (picture.width() == width && picture.height() == height)
    return picture;
  return width <= picture.width() && height <= picture.height() ? averaged(picture, width, height)
                                                                : enlarged(picture, width, height);
}

}  // namespace powderplan
