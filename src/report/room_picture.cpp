#include "report/room_picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

#include "colour/tristimulus.h"
#include "median.h"
#include "parallel.h"
#include "photo/flat_view.h"
#include "problem.h"
#include "report/preview.h"

namespace powderplan {
namespace {

// Of the shadow on the wall: how far it reaches down and to the right, how soft it is, how dark.
constexpr double shadow_fall_mm = 5, shadow_soft_mm = 4, shadow_depth = 0.42;
// Where the wall is looked at, in widths and heights of the piece from its edges.
constexpr double ring_from = 0.12, ring_to = 0.6;
constexpr int ring_steps = 40;
// A wall with less chroma (CIELAB) than this is taken as grey: what colour it has is the light's.
constexpr double grey_wall_chroma = 14;
constexpr int samples_a_side = 3;  // of a pixel

using Colour = cv::Vec3d;  // linear light

double luminance(const Colour& c) {
  return 0.2126 * c[0] + 0.7152 * c[1] + 0.0722 * c[2];
}

// At most longest_room_side long; `scale` is what places in it are to be multiplied by.
cv::Mat3f reduced(const Picture& photo, double& scale) {
  const Image<LinearPixel>& pixels = photo.pixels;
  cv::Mat3f from(pixels.height(), pixels.width());
  for (std::size_t i = 0; i < pixels.size(); ++i)
    from.ptr<cv::Vec3f>()[i] = {pixels[i].r, pixels[i].g, pixels[i].b};
  const int longest = std::max(pixels.width(), pixels.height());
  scale = std::min(1.0, static_cast<double>(longest_room_side) / longest);
  if (scale == 1)
    return from;
  cv::Mat3f to;
  cv::resize(from, to, {}, scale, scale, cv::INTER_AREA);
  return to;
}

// Turning the same way at every corner, and clockwise as seen.
bool seen_from_its_front(const std::array<PhotoPoint, 4>& c) {
  for (std::size_t i = 0; i < 4; ++i) {
    const PhotoPoint &a = c[i], &b = c[(i + 1) % 4], &d = c[(i + 2) % 4];
    if ((b.x - a.x) * (d.y - b.y) - (b.y - a.y) * (d.x - b.x) <= 1)
      return false;
  }
  return true;
}

// The light on the wall: its logarithm is a plane over the wall, its colour one.
struct WallLight {
  double at_middle = 0, along_x = 0, along_y = 0;  // of ln luminance, per mm from the piece's middle
  Colour tint{1, 1, 1};                            // of luminance 1

  [[nodiscard]] Colour at(double dx, double dy) const {
    return tint * std::exp(at_middle + along_x * dx + along_y * dy);
  }
};

struct WallSample {
  double dx = 0, dy = 0, ln = 0;
  Colour colour;
};

// Least squares; what lies far off the plane (a lamp, a picture, the edge of a shelf) is left out in turn.
WallLight light_on(std::vector<WallSample> samples) {
  WallLight light;
  for (int round = 0; round < 4; ++round) {
    cv::Mat1d a(static_cast<int>(samples.size()), 3), b(static_cast<int>(samples.size()), 1), x;
    for (int i = 0; i < a.rows; ++i) {
      const WallSample& s = samples[static_cast<std::size_t>(i)];
      a(i, 0) = 1;
      a(i, 1) = s.dx;
      a(i, 2) = s.dy;
      b(i, 0) = s.ln;
    }
    cv::solve(a, b, x, cv::DECOMP_SVD);
    light.at_middle = x.at<double>(0);
    light.along_x = x.at<double>(1);
    light.along_y = x.at<double>(2);
    std::vector<double> off(samples.size());
    for (std::size_t i = 0; i < samples.size(); ++i)
      off[i] = std::abs(samples[i].ln - std::log(luminance(light.at(samples[i].dx, samples[i].dy))));
    const double limit = 2.5 * median(off) + 1e-6;
    std::vector<WallSample> kept;
    for (std::size_t i = 0; i < samples.size(); ++i)
      if (off[i] <= limit)
        kept.push_back(samples[i]);
    if (kept.size() == samples.size() || kept.size() < 12)
      break;
    samples = std::move(kept);
  }
  Colour sum{0, 0, 0};
  for (const WallSample& s : samples)
    sum += s.colour * (1 / luminance(s.colour));
  light.tint = sum * (1 / luminance(sum));
  return light;
}

class Placing {
 public:
  Placing(const Room& room, Millimetres width, Millimetres height, PointMm middle)
      : photo_(reduced(room.photo, scale_)),
        corners_(scaled(room.corners)),
        wall_{{{0, 0},
               {room.width.value(), 0},
               {room.width.value(), room.height.value()},
               {0, room.height.value()}}},
        to_photo_(wall_, corners_),
        to_wall_(turned(corners_), turned(wall_)),
        width_(width.value()),
        height_(height.value()),
        middle_(middle) {
    for (const PointMm& corner : piece_corners()) {
      const PhotoPoint at = to_photo_.at(corner);
      if (!before_the_eye(corner) || !(at.x >= 0 && at.y >= 0 && at.x <= photo_.cols && at.y <= photo_.rows))
        throw Problem(ProblemKind::command_line, "--at-mm", "the piece does not lie whole in the photo there",
                      "put its middle elsewhere, or take a wider photo");
    }
  }

  [[nodiscard]] double pixels_per_mm_here() const { return pixels_per_mm(to_photo_.slope_at(middle_))[0]; }

  // Samples of the wall round the piece.
  [[nodiscard]] std::vector<WallSample> wall_samples() const {
    std::vector<WallSample> samples;
    const double reach_x = width_ * (0.5 + ring_to), reach_y = height_ * (0.5 + ring_to);
    for (int j = 0; j <= ring_steps; ++j) {
      for (int i = 0; i <= ring_steps; ++i) {
        const double dx = reach_x * (2.0 * i / ring_steps - 1), dy = reach_y * (2.0 * j / ring_steps - 1);
        if (std::abs(dx) < width_ * (0.5 + ring_from) && std::abs(dy) < height_ * (0.5 + ring_from))
          continue;
        const PointMm place{middle_.x + dx, middle_.y + dy};
        const PhotoPoint at = to_photo_.at(place);
        if (!before_the_eye(place) ||
            !(at.x >= 1 && at.y >= 1 && at.x < photo_.cols - 1 && at.y < photo_.rows - 1))
          continue;
        const cv::Vec3f p = photo_(static_cast<int>(at.y), static_cast<int>(at.x));
        const Colour colour(std::max(0.0F, p[0]), std::max(0.0F, p[1]), std::max(0.0F, p[2]));
        if (luminance(colour) > 1e-4)
          samples.push_back({dx, dy, std::log(luminance(colour)), colour});
      }
    }
    return samples;
  }

  // `colour_at(mm from the piece's left top corner, light)` inside; outside the wall in its shadow.
  Image<Rgb8> draw(const cv::Mat3f& piece, const WallLight& light, bool shadow) const {
    const double left = middle_.x - width_ / 2, top = middle_.y - height_ / 2;
    Image<Rgb8> out(photo_.cols, photo_.rows);
    for_each_row_band(photo_.rows, [&](int begin, int end) {
      for (int y = begin; y < end; ++y) {
        for (int x = 0; x < photo_.cols; ++x) {
          const cv::Vec3f p = photo_(y, x);
          const Colour here(p[0], p[1], p[2]);
          const PhotoPoint mm = wall_at(x + 0.5, y + 0.5);
          const double reach = 6 * shadow_soft_mm + shadow_fall_mm;
          if (mm.x < left - reach || mm.y < top - reach || mm.x > left + width_ + reach ||
              mm.y > top + height_ + reach) {
            out.at(x, y) = encoded(here);
            continue;
          }
          Colour sum{0, 0, 0};
          for (int s = 0; s < samples_a_side * samples_a_side; ++s) {
            const int across = s % samples_a_side, down = s / samples_a_side;
            const PhotoPoint at =
                wall_at(x + (across + 0.5) / samples_a_side, y + (down + 0.5) / samples_a_side);
            const double px = at.x - left, py = at.y - top;
            const bool inside = px >= 0 && py >= 0 && px < width_ && py < height_;
            sum += inside ? light.at(at.x - middle_.x, at.y - middle_.y).mul(sampled(piece, px, py))
                          : here * (shadow ? 1 - shadow_depth * shade(px, py) : 1.0);
          }
          out.at(x, y) = encoded(sum * (1.0 / (samples_a_side * samples_a_side)));
        }
      }
    });
    return out;
  }

 private:
  // What lies beyond the line where the wall vanishes would be seen mirrored, behind the camera.
  [[nodiscard]] bool before_the_eye(PointMm place) const {
    const Slope s = to_photo_.slope_at(place);
    return s[0][0] * s[1][1] - s[0][1] * s[1][0] > 0;
  }
  // The way back is a view too, with the two planes changing their parts.
  static std::array<PointMm, 4> turned(const std::array<PhotoPoint, 4>& places) {
    std::array<PointMm, 4> out;
    std::transform(places.begin(), places.end(), out.begin(), [](PhotoPoint p) { return PointMm{p.x, p.y}; });
    return out;
  }
  static std::array<PhotoPoint, 4> turned(const std::array<PointMm, 4>& places) {
    std::array<PhotoPoint, 4> out;
    std::transform(places.begin(), places.end(), out.begin(), [](PointMm p) { return PhotoPoint{p.x, p.y}; });
    return out;
  }
  [[nodiscard]] std::array<PhotoPoint, 4> scaled(std::array<PhotoPoint, 4> corners) const {
    if (!seen_from_its_front(corners))
      throw Problem(ProblemKind::command_line, "--wall",
                    "these corners make no rectangle seen from its front",
                    "give top left, top right, bottom right, bottom left, in pixels");
    for (PhotoPoint& corner : corners)
      corner = {corner.x * scale_, corner.y * scale_};
    return corners;
  }
  [[nodiscard]] PhotoPoint wall_at(double x, double y) const { return to_wall_.at({x, y}); }
  [[nodiscard]] std::array<PointMm, 4> piece_corners() const {
    const double x = width_ / 2, y = height_ / 2;
    return {{{middle_.x - x, middle_.y - y},
             {middle_.x + x, middle_.y - y},
             {middle_.x + x, middle_.y + y},
             {middle_.x - x, middle_.y + y}}};
  }
  // Share of the light that the piece keeps from a place on the wall.
  [[nodiscard]] double shade(double px, double py) const {
    const auto between = [](double at, double to) {
      const double soft = shadow_soft_mm * std::sqrt(2.0);
      return 0.5 * (std::erf((at - shadow_fall_mm) / soft) - std::erf((at - to - shadow_fall_mm) / soft));
    };
    return between(px, width_) * between(py, height_);
  }
  [[nodiscard]] Colour sampled(const cv::Mat3f& piece, double px, double py) const {
    const double x = std::clamp(px / width_ * piece.cols - 0.5, 0.0, piece.cols - 1.0);
    const double y = std::clamp(py / height_ * piece.rows - 0.5, 0.0, piece.rows - 1.0);
    const int x0 = static_cast<int>(x), y0 = static_cast<int>(y);
    const int x1 = std::min(x0 + 1, piece.cols - 1), y1 = std::min(y0 + 1, piece.rows - 1);
    const float u = static_cast<float>(x - x0), v = static_cast<float>(y - y0);
    const cv::Vec3f c = (piece(y0, x0) * (1 - u) + piece(y0, x1) * u) * (1 - v) +
                        (piece(y1, x0) * (1 - u) + piece(y1, x1) * u) * v;
    return {c[0], c[1], c[2]};
  }
  static Rgb8 encoded(const Colour& c) { return to_rgb8(LinearRgb{c[0], c[1], c[2]}); }

  double scale_ = 1;
  cv::Mat3f photo_;
  std::array<PhotoPoint, 4> corners_;
  std::array<PointMm, 4> wall_;
  FlatView to_photo_, to_wall_;
  double width_, height_;
  PointMm middle_;
};

Colour linear(const Rgb8& code) {
  const LinearRgb c = to_linear_rgb(code);
  return {c.r, c.g, c.b};
}

cv::Mat3f linear(const Image<Rgb8>& picture) {
  cv::Mat3f out(picture.height(), picture.width());
  for (std::size_t i = 0; i < picture.size(); ++i)
    out.ptr<cv::Vec3f>()[i] = linear(picture[i]);
  return out;
}

// What white glass in the piece's place would send, from what the wall round it sends.
WallLight light_of(const Room& room, std::vector<WallSample> samples, View view,
                   std::vector<std::string>& notes) {
  constexpr std::size_t enough = 30;
  if (samples.size() < enough) {
    notes.emplace_back(
        "too little of the wall is seen round the piece to read its light: drawn as in daylight");
    return {};
  }
  WallLight light = light_on(std::move(samples));
  if (view == View::window)
    return light;
  if (room.paint) {
    const Colour paint = linear(*room.paint);
    constexpr double least = 0.02;
    for (int c = 0; c < 3; ++c)
      light.tint[c] /= std::max(least, paint[c]);
    return light;
  }
  const Colour here = light.at(0, 0);
  const Lab wall = to_lab(to_xyz(LinearRgb{here[0], here[1], here[2]}));
  if (std::hypot(wall.a, wall.b) > grey_wall_chroma) {
    notes.emplace_back(
        "the wall is coloured: its light is taken to be white; give the colour of its paint to be nearer");
    light.tint = {1, 1, 1};
  } else {
    notes.push_back(fmt::format("the wall is taken to be near white, reflecting {:.0f} % of the light",
                                100 * plain_wall));
  }
  light.tint *= 1 / plain_wall;
  return light;
}

}  // namespace

RoomPicture room_picture(const Room& room, const Image<Rgb8>& piece, Millimetres width, Millimetres height,
                         PointMm middle, View view) {
  const Placing placing(room, width, height, middle);
  RoomPicture result;
  result.notes = room.photo.notes;
  const WallLight light = light_of(room, placing.wall_samples(), view, result.notes);
  // As fine as the photo shows it, so that nothing of it is skipped.
  const int across = std::max(2, static_cast<int>(std::lround(width.value() * placing.pixels_per_mm_here())));
  result.picture = placing.draw(linear(shrunk(piece, across)), light, view == View::wall);
  return result;
}

void check_place(const Room& room, Millimetres width, Millimetres height, PointMm middle) {
  const Placing placing(room, width, height, middle);
}

}  // namespace powderplan
