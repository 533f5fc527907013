#include "report/preview.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "colour/observer.h"
#include "parallel.h"
#include "report/quick_srgb.h"

namespace powderplan {

Image<Rgb8> picture_at(const PlanRecord& record, const Moment& moment, View view) {
  return picture_of_spots(record, spot_colours(record, moment, view));
}

Image<Rgb8> picture_of_spots(const PlanRecord& record, const std::vector<Rgb8>& colours) {
  const Image<std::uint32_t>& spots = record.spots.at();
  Image<Rgb8> picture(spots.width(), spots.height());
  for_each_row_band(spots.height(), [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      for (int x = 0; x < spots.width(); ++x)
        picture.at(x, y) = colours[spots.at(x, y)];
    }
  });
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

Image<Rgb8> target_picture(const PlanRecord& record) {
  if (record.bare.empty())
    return record.target;
  const Observer observer(light_of(record));
  const Rgb8 sheet = to_rgb8(to_linear_rgb(observer(seen(ground_of(record, record.view), {}))));
  Image<Rgb8> picture = record.target;
  for (std::size_t i = 0; i < picture.size(); ++i) {
    if (!pictured(record, i))
      picture[i] = sheet;
  }
  return picture;
}

namespace {

int height_for(const Image<Rgb8>& picture, int width) {
  return std::max(
      1, static_cast<int>(std::lround(static_cast<double>(picture.height()) * width / picture.width())));
}

// Mean of the light over each pixel.
Image<Rgb8> averaged(const Image<Rgb8>& picture, int width, int height) {
  std::array<float, 256> linear{};
  for (std::size_t i = 0; i < linear.size(); ++i)
    linear[i] = static_cast<float>(srgb_decode(static_cast<double>(i) / 255.0));
  cv::Mat from(picture.height(), picture.width(), CV_32FC3), to;
  for_each_row_band(picture.height(), [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      for (int x = 0; x < picture.width(); ++x) {
        const Rgb8& p = picture.at(x, y);
        from.at<cv::Vec3f>(y, x) = {linear[p.r], linear[p.g], linear[p.b]};
      }
    }
  });
  cv::resize(from, to, cv::Size(width, height), 0, 0, cv::INTER_AREA);
  Image<Rgb8> small(width, height);
  for_each_row_band(height, [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      for (int x = 0; x < width; ++x) {
        const cv::Vec3f& p = to.at<cv::Vec3f>(y, x);
        small.at(x, y) = quick_rgb8({p[0], p[1], p[2]});
      }
    }
  });
  return small;
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
  return picture.width() <= most_width ? picture
                                       : averaged(picture, most_width, height_for(picture, most_width));
}

Image<Rgb8> at_width(const Image<Rgb8>& picture, int width) {
  return at_size(picture, width, height_for(picture, width));
}

Image<Rgb8> at_size(const Image<Rgb8>& picture, int width, int height) {
  if (picture.width() == width && picture.height() == height)
    return picture;
  return width <= picture.width() && height <= picture.height() ? averaged(picture, width, height)
                                                                : enlarged(picture, width, height);
}

}  // namespace powderplan
