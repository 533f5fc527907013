// A made-up photo of a card on a table, for tests: what is drawn is known exactly. Knows nothing of how
// src/photo works: its camera, light and marks are its own.
//
//   Scene scene{card, 210, 297};
//   scene.boxes.push_back({{20, 40, 60, 80}, to_xyz(Lab{50, 20, 30})});
//   Shot shot;
//   shot.tilt = 20;
//   const Picture photo = photograph(scene, shot);
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <filesystem>
#include <numbers>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <optional>
#include <random>
#include <stdexcept>
#include <vector>

#include "colour/tristimulus.h"
#include "parallel.h"
#include "photo/card.h"
#include "photo/photo_point.h"
#include "raster/picture.h"

namespace powderplan {

struct ColouredBox {
  BoxMm box;
  Xyz colour;
  double grain = 0;  // standard deviation of lightness between grains of 0.3 mm, as a share
};
// A disc of light or dark that lies on the card: a coin, a thumb, dirt.
struct ColouredDisc {
  PointMm centre;
  double radius;
  Xyz colour;
};

struct Scene {
  CardLayout card;
  double width = 0, height = 0;    // of the card, mm
  std::vector<ColouredBox> boxes;  // later ones lie on earlier ones
  std::vector<ColouredDisc> discs;
  std::vector<PointMm> stray_marks;  // more of the marks without an eye, that the card should not have
  double paper = 0.85;               // what it reflects
  double ink = 0.05;                 // what the marks' black reflects
  bool text = true;                  // thin dark strokes on the white places
  bool clutter = true;               // things on the table
};

struct Glare {
  PointMm centre;
  double radius = 8;   // standard deviation, mm
  double light = 1.0;  // added in its middle; 1 = what the perfect diffuser shows
};

struct Shot {
  int width = 1200, height = 900;
  double tilt = 0, tilt_axis = 0;  // degrees; the axis lies in the card, 0 = along its width
  double turn = 0;                 // degrees, of the camera about its own axis
  double distance = 450;           // mm, from the middle of the card
  double fills = 0.8;              // of the picture, by the card seen straight on
  double off_x = 0, off_y = 0;     // of the card's middle from the picture's, px
  bool mirrored = false;
  // Barrel distortion of the lens: how far the corner of the picture is drawn in, as a share of its distance
  // from the middle. seen_at and place_of know nothing of it.
  double barrel = 0;

  double exposure = 0.85;        // what a perfect diffuser shows in full light; 1 clips
  double falloff = 0;            // light lost from one side of the card to the other, as a share
  double falloff_towards = 0;    // degrees
  double vignetting = 0;         // light lost in the corners of the picture, as a share
  double shadow = 0;             // light lost on the right half of the card, with a sharp edge
  LinearRgb gains{1, 1, 1};      // colour of the light
  LinearRgb far_gains{1, 1, 1};  // the same at the far side of the falloff, on top
  std::optional<Glare> glare;
  // What the camera makes of colours by itself: each channel takes this share of the two others, and linear
  // light is raised to a power.
  double mixing = 0, tone = 1;
  double blur = 0.7;      // standard deviation, px
  double noise = 0.006;   // standard deviation at white, linear; shot noise mostly
  int jpeg_quality = 85;  // 0: not compressed
  std::uint32_t seed = 1;
};

// Linear sRGB of CIE daylight of that temperature, green = 1, when the camera is balanced for D65 (CIE 15:
// the chromaticity of daylight from 4000 to 7000 K).
inline LinearRgb daylight_gains(double kelvin) {
  const auto white = [](double t) {
    const double x = -4.6070e9 / (t * t * t) + 2.9678e6 / (t * t) + 0.09911e3 / t + 0.244063;
    const double y = -3.000 * x * x + 2.870 * x - 0.275;
    return to_linear_rgb(Xyz{x / y, 1, (1 - x - y) / y});
  };
  const LinearRgb seen = white(kelvin), balanced = white(6504);
  const double g = seen.g / balanced.g;
  return {seen.r / balanced.r / g, 1, seen.b / balanced.b / g};
}

namespace photographed {

using Matrix = std::array<std::array<double, 3>, 3>;
inline Matrix times(const Matrix& a, const Matrix& b) {
  Matrix out{};
  for (std::size_t i = 0; i < 3; ++i) {
    for (std::size_t j = 0; j < 3; ++j)
      out[i][j] = a[i][0] * b[0][j] + a[i][1] * b[1][j] + a[i][2] * b[2][j];
  }
  return out;
}
inline Matrix inverse(const Matrix& m) {
  const auto minor = [&](std::size_t r, std::size_t c) {
    const std::size_t r1 = (r + 1) % 3, r2 = (r + 2) % 3, c1 = (c + 1) % 3, c2 = (c + 2) % 3;
    return m[r1][c1] * m[r2][c2] - m[r1][c2] * m[r2][c1];
  };
  const double det = m[0][0] * minor(0, 0) + m[0][1] * minor(0, 1) + m[0][2] * minor(0, 2);
  Matrix out{};
  for (std::size_t r = 0; r < 3; ++r) {
    for (std::size_t c = 0; c < 3; ++c)
      out[c][r] = minor(r, c) / det;
  }
  return out;
}
inline std::array<double, 2> apply(const Matrix& m, double x, double y) {
  const double w = m[2][0] * x + m[2][1] * y + m[2][2];
  return {(m[0][0] * x + m[0][1] * y + m[0][2]) / w, (m[1][0] * x + m[1][1] * y + m[1][2]) / w};
}

// A pinhole camera that looks at the middle of the card: millimetres of the card to pixels.
inline Matrix camera(const Scene& scene, const Shot& shot) {
  const double deg = std::numbers::pi / 180;
  const double c = std::cos(shot.tilt * deg), s = std::sin(shot.tilt * deg);
  const double ux = std::cos(shot.tilt_axis * deg), uy = std::sin(shot.tilt_axis * deg);
  // Rodrigues' formula about (ux, uy, 0), of points with z = 0.
  const Matrix tilted{{{c + ux * ux * (1 - c), ux * uy * (1 - c), 0},
                       {ux * uy * (1 - c), c + uy * uy * (1 - c), 0},
                       {-uy * s, ux * s, shot.distance}}};
  const double ct = std::cos(shot.turn * deg), st = std::sin(shot.turn * deg);
  const Matrix turned{{{ct, -st, 0}, {st, ct, 0}, {0, 0, 1}}};
  const double px_per_mm = shot.fills * std::min(shot.width / scene.width, shot.height / scene.height);
  const double focal = px_per_mm * shot.distance;
  const Matrix lens{{{shot.mirrored ? -focal : focal, 0, shot.width / 2.0 + shot.off_x},
                     {0, focal, shot.height / 2.0 + shot.off_y},
                     {0, 0, 1}}};
  const Matrix centred{{{1, 0, -scene.width / 2}, {0, 1, -scene.height / 2}, {0, 0, 1}}};
  return times(lens, times(turned, times(tilted, centred)));
}

}  // namespace photographed

// The card and the table, as they would be seen straight on under even light. Edges are mixed by what they
// cover of a pixel; photos are sharp when it is somewhat finer than they are.
class CardDrawing {
 public:
  CardDrawing(const Scene& scene, double px_per_mm)
      : scale_(px_per_mm),
        image_(static_cast<int>((scene.height + 2 * margin) * px_per_mm),
               static_cast<int>((scene.width + 2 * margin) * px_per_mm)) {
    draw_table(scene);
    const LinearRgb paper{scene.paper, scene.paper, scene.paper};
    fill({0, 0, scene.width, scene.height}, paper, 0);
    if (scene.text)
      draw_text(scene);
    for (std::size_t i = 0; i < 4; ++i)
      draw_mark(scene, scene.card.marks[i], i == 0);
    for (const PointMm& stray : scene.stray_marks)
      draw_mark(scene, stray, false);
    for (const ColouredBox& box : scene.boxes)
      fill(box.box, to_linear_rgb(box.colour), box.grain);
    for (const ColouredDisc& disc : scene.discs)
      draw_disc(disc.centre, disc.radius, to_linear_rgb(disc.colour));
  }
  [[nodiscard]] const cv::Mat3f& image() const { return image_; }
  // From millimetres of the card to pixels of the drawing, in the convention of OpenCV (0, 0 is the middle of
  // the first).
  [[nodiscard]] photographed::Matrix from_mm() const {
    return {{{scale_, 0, margin * scale_ - 0.5}, {0, scale_, margin * scale_ - 0.5}, {0, 0, 1}}};
  }

 private:
  static constexpr double margin = 60;  // mm of table round the card

  // Boxes are sharp, their borders mixed by what they cover of a pixel.
  void fill(const BoxMm& box, const LinearRgb& colour, double grain) {
    const auto covered = [](int pixel, double from, double to) {
      return std::clamp(std::min(pixel + 1.0, to) - std::max(static_cast<double>(pixel), from), 0.0, 1.0);
    };
    const double left = (box.left + margin) * scale_, right = (box.right + margin) * scale_;
    const double top = (box.top + margin) * scale_, bottom = (box.bottom + margin) * scale_;
    std::mt19937 chance(7);
    std::normal_distribution<double> normal;
    constexpr double grain_mm = 0.3;
    const int columns = static_cast<int>((box.right - box.left) / grain_mm) + 2;
    const int rows = static_cast<int>((box.bottom - box.top) / grain_mm) + 2;
    cv::Mat1f grains(rows, columns, 1.0f);
    if (grain > 0) {
      for (float& g : grains)
        g = static_cast<float>(std::max(0.0, 1 + grain * normal(chance)));
    }
    for (int y = std::max(0, static_cast<int>(top)); y < std::min(image_.rows, static_cast<int>(bottom) + 1);
         ++y) {
      for (int x = std::max(0, static_cast<int>(left));
           x < std::min(image_.cols, static_cast<int>(right) + 1); ++x) {
        const double share = covered(x, left, right) * covered(y, top, bottom);
        const int column = std::clamp(static_cast<int>((x - left) / scale_ / grain_mm), 0, columns - 1);
        const int row = std::clamp(static_cast<int>((y - top) / scale_ / grain_mm), 0, rows - 1);
        mix(x, y, colour, share, grains(row, column));
      }
    }
  }
  void draw_disc(PointMm centre, double radius, const LinearRgb& colour) {
    const double cx = (centre.x + margin) * scale_ - 0.5, cy = (centre.y + margin) * scale_ - 0.5,
                 r = radius * scale_;
    for (int y = std::max(0, static_cast<int>(cy - r - 1));
         y < std::min(image_.rows, static_cast<int>(cy + r + 2)); ++y) {
      for (int x = std::max(0, static_cast<int>(cx - r - 1));
           x < std::min(image_.cols, static_cast<int>(cx + r + 2)); ++x)
        mix(x, y, colour, std::clamp(r - std::hypot(x - cx, y - cy) + 0.5, 0.0, 1.0), 1);
    }
  }
  void draw_mark(const Scene& scene, PointMm at, bool eye) {
    const LinearRgb black{scene.ink, scene.ink, scene.ink}, white{scene.paper, scene.paper, scene.paper};
    draw_disc(at, 7.0, black);
    draw_disc(at, 5.2, white);
    draw_disc(at, 3.4, black);
    if (eye)
      draw_disc(at, 1.4, white);
  }
  void draw_text(const Scene& scene) {
    for (const BoxMm& box : scene.card.white) {
      // Strokes as of small print on a tenth of the place.
      const double y = box.top + 0.4 * (box.bottom - box.top);
      const double end = std::min(box.right - 2, box.left + 40);
      for (int i = 0; box.left + 2 + 1.3 * i < end; ++i) {
        const double x = box.left + 2 + 1.3 * i;
        fill({x, y, x + 0.35, y + 2}, {0.06, 0.06, 0.06}, 0);
      }
    }
  }
  void draw_table(const Scene& scene) {
    for (int y = 0; y < image_.rows; ++y) {
      for (int x = 0; x < image_.cols; ++x) {
        const double grain = 1 + 0.25 * std::sin(0.9 * y / scale_ + 2 * std::sin(0.05 * x / scale_));
        image_(y, x) = cv::Vec3f(0.20f, 0.13f, 0.08f) * static_cast<float>(grain);
      }
    }
    if (!scene.clutter)
      return;
    std::mt19937 chance(11);
    std::uniform_real_distribution<double> share(0, 1);
    for (int i = 0; i < 60; ++i) {
      const double angle = 2 * std::numbers::pi * share(chance), out = 15 + 40 * share(chance);
      const PointMm at{scene.width / 2 + (scene.width / 2 + out) * std::cos(angle) * 1.3,
                       scene.height / 2 + (scene.height / 2 + out) * std::sin(angle) * 1.3};
      const LinearRgb colour{share(chance), share(chance), share(chance)};
      const double r = 2 + 9 * share(chance);
      draw_disc(at, r, colour);
      if (i % 3 == 0)  // washers, lids, cups
        draw_disc(at, 0.6 * r, {0.05, 0.05, 0.05});
      if (i % 6 == 0)
        draw_disc(at, 0.3 * r, colour);
    }
  }
  void mix(int x, int y, const LinearRgb& colour, double share, double grain) {
    if (share <= 0)
      return;
    const cv::Vec3f target(static_cast<float>(colour.r * grain), static_cast<float>(colour.g * grain),
                           static_cast<float>(colour.b * grain));
    image_(y, x) += static_cast<float>(share) * (target - image_(y, x));
  }

  double scale_;
  cv::Mat3f image_;
};

namespace photographed {

inline cv::Vec3f camera_colour(const Shot& shot, const cv::Vec3f& p) {
  const float sum = p[0] + p[1] + p[2], share = static_cast<float>(shot.mixing);
  cv::Vec3f out;
  for (int c = 0; c < 3; ++c) {
    const float mixed = (1 - 2 * share) * p[c] + share * (sum - p[c]);
    out[c] = shot.tone == 1 ? mixed : std::pow(std::max(mixed, 0.0f), static_cast<float>(shot.tone));
  }
  return out;
}

inline void light_up(const Scene& scene, const Shot& shot, const Matrix& to_mm, cv::Mat3f& image) {
  const double deg = std::numbers::pi / 180;
  const double fx = std::cos(shot.falloff_towards * deg), fy = std::sin(shot.falloff_towards * deg);
  const double reach = 0.5 * (std::abs(fx) * scene.width + std::abs(fy) * scene.height);
  const double corner = std::hypot(shot.width, shot.height) / 2;
  const std::array<double, 3> near{shot.gains.r, shot.gains.g, shot.gains.b};
  const std::array<double, 3> far{shot.far_gains.r, shot.far_gains.g, shot.far_gains.b};
  for_each_row_band(image.rows, [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      for (int x = 0; x < image.cols; ++x) {
        const auto [mx, my] = apply(to_mm, x + 0.5, y + 0.5);
        const double along = std::clamp(
            0.5 + 0.5 * ((mx - scene.width / 2) * fx + (my - scene.height / 2) * fy) / reach, -0.5, 1.5);
        const double from_middle =
            std::hypot(x + 0.5 - shot.width / 2.0, y + 0.5 - shot.height / 2.0) / corner;
        double light =
            shot.exposure * (1 - shot.falloff * along) * (1 - shot.vignetting * from_middle * from_middle);
        if (mx > scene.width / 2)
          light *= 1 - shot.shadow;
        double glare = 0;
        if (shot.glare) {
          const double d =
              std::hypot(mx - shot.glare->centre.x, my - shot.glare->centre.y) / shot.glare->radius;
          glare = shot.glare->light * std::exp(-d * d / 2);
        }
        cv::Vec3f& p = image(y, x);
        for (int c = 0; c < 3; ++c) {
          const std::size_t i = static_cast<std::size_t>(c);
          const double colour = near[i] * (far[i] == 1 ? 1 : std::pow(far[i], along));
          p[c] = static_cast<float>((static_cast<double>(p[c]) + glare) * light * colour);
        }
        if (shot.mixing != 0 || shot.tone != 1)
          p = camera_colour(shot, p);
      }
    }
  });
}

inline cv::Mat3f barrelled(const cv::Mat3f& image, double barrel) {
  cv::Mat1f from_x(image.rows, image.cols), from_y(image.rows, image.cols);
  const double cx = (image.cols - 1) / 2.0, cy = (image.rows - 1) / 2.0, corner = std::hypot(cx, cy);
  for (int y = 0; y < image.rows; ++y) {
    for (int x = 0; x < image.cols; ++x) {
      const double r = std::hypot(x - cx, y - cy) / corner, out = 1 + barrel * r * r;
      from_x(y, x) = static_cast<float>(cx + (x - cx) * out);
      from_y(y, x) = static_cast<float>(cy + (y - cy) * out);
    }
  }
  cv::Mat3f out;
  cv::remap(image, out, from_x, from_y, cv::INTER_LINEAR, cv::BORDER_REPLICATE);
  return out;
}

// Shot noise and a little of the sensor's own.
inline void add_noise(const Shot& shot, cv::Mat3f& image) {
  if (shot.noise <= 0)
    return;
  // A table of chance, read from another place for each seed and row: quick, and the same everywhere.
  constexpr std::size_t length = 1 << 18;
  static const std::vector<float> table = [] {
    std::mt19937 chance(5);
    std::normal_distribution<float> normal;
    std::vector<float> all(length);
    std::generate(all.begin(), all.end(), [&] { return normal(chance); });
    return all;
  }();
  std::mt19937 chance(shot.seed);
  const float white = static_cast<float>(shot.noise);
  for (int y = 0; y < image.rows; ++y) {
    std::size_t at = chance() % length;
    for (int x = 0; x < image.cols; ++x) {
      cv::Vec3f& p = image(y, x);
      for (int c = 0; c < 3; ++c) {
        p[c] += table[at] * white * std::sqrt(std::max(p[c], 0.0f) + 0.02f);
        at = at + 1 < length ? at + 1 : 0;
      }
    }
  }
}

// sRGB codes, blue first as OpenCV stores them.
inline cv::Mat3b encoded(const cv::Mat3f& image) {
  constexpr int steps = 8192;
  static const std::vector<std::uint8_t> codes = [] {
    std::vector<std::uint8_t> all;
    for (int i = 0; i <= steps; ++i)
      all.push_back(
          static_cast<std::uint8_t>(std::lround(255 * srgb_encode(static_cast<double>(i) / steps))));
    return all;
  }();
  cv::Mat3b out(image.rows, image.cols);
  std::transform(image.begin(), image.end(), out.begin(), [&](const cv::Vec3f& p) {
    const auto code = [&](float v) {
      // NOLINTNEXTLINE(bugprone-incorrect-roundings): never below 0, and lround is a call for each sample
      return codes[static_cast<std::size_t>(std::clamp(v, 0.0f, 1.0f) * steps + 0.5f)];
    };
    return cv::Vec3b(code(p[2]), code(p[1]), code(p[0]));
  });
  return out;
}
inline Picture decoded(const cv::Mat3b& codes) {
  std::array<float, 256> linear{};
  for (std::size_t i = 0; i < 256; ++i)
    linear[i] = static_cast<float>(srgb_decode(static_cast<double>(i) / 255));
  Picture picture{Image<LinearPixel>(codes.cols, codes.rows), {}};
  for (int y = 0; y < codes.rows; ++y) {
    for (int x = 0; x < codes.cols; ++x) {
      const cv::Vec3b& p = codes(y, x);
      picture.pixels.at(x, y) = {linear[p[2]], linear[p[1]], linear[p[0]], 1};
    }
  }
  return picture;
}

}  // namespace photographed

// The photo as 8-bit sRGB, blue first, not yet compressed.
inline cv::Mat3b photographed_codes(const CardDrawing& drawing, const Scene& scene, const Shot& shot) {
  namespace ph = photographed;
  const ph::Matrix to_pixels = ph::camera(scene, shot);
  // OpenCV's 0, 0 is the middle of the first pixel.
  const ph::Matrix map = ph::times({{{1, 0, -0.5}, {0, 1, -0.5}, {0, 0, 1}}},
                                   ph::times(to_pixels, ph::inverse(drawing.from_mm())));
  cv::Matx33d warp;
  for (int i = 0; i < 3; ++i) {
    for (int j = 0; j < 3; ++j)
      warp(i, j) = map[static_cast<std::size_t>(i)][static_cast<std::size_t>(j)];
  }
  cv::Mat3f image;
  cv::warpPerspective(drawing.image(), image, warp, {shot.width, shot.height}, cv::INTER_LINEAR,
                      cv::BORDER_CONSTANT, {0.20, 0.13, 0.08});
  if (shot.barrel != 0)
    image = ph::barrelled(image, shot.barrel);
  ph::light_up(scene, shot, ph::inverse(to_pixels), image);
  if (shot.blur > 0)
    cv::GaussianBlur(image, image, {}, shot.blur);
  ph::add_noise(shot, image);
  return ph::encoded(image);
}
// How fine a drawing the shot needs.
inline CardDrawing drawn_for(const Scene& scene, const Shot& shot) {
  const double px_per_mm = shot.fills * std::min(shot.width / scene.width, shot.height / scene.height);
  return {scene, std::clamp(1.5 * px_per_mm, 3.0, 20.0)};
}

// The photo as read_picture would give it. One drawing serves many shots of the same scene.
inline Picture photograph(const CardDrawing& drawing, const Scene& scene, const Shot& shot) {
  cv::Mat3b codes = photographed_codes(drawing, scene, shot);
  if (shot.jpeg_quality > 0) {
    std::vector<std::uint8_t> bytes;
    cv::imencode(".jpg", codes, bytes, {cv::IMWRITE_JPEG_QUALITY, shot.jpeg_quality});
    codes = cv::imdecode(bytes, cv::IMREAD_COLOR);
  }
  return photographed::decoded(codes);
}
inline Picture photograph(const Scene& scene, const Shot& shot) {
  return photograph(drawn_for(scene, shot), scene, shot);
}

// The same, written to a file; the ending of its name says how (.jpg, .png).
inline void photograph_to(const std::filesystem::path& file, const Scene& scene, const Shot& shot) {
  if (!cv::imwrite(file.string(), photographed_codes(drawn_for(scene, shot), scene, shot),
                   {cv::IMWRITE_JPEG_QUALITY, std::max(shot.jpeg_quality, 1)}))
    throw std::runtime_error("cannot write " + file.string());
}

// Where a place of the card truly is in the photo, and the other way round.
inline PhotoPoint seen_at(const Scene& scene, const Shot& shot, PointMm place) {
  const auto [x, y] = photographed::apply(photographed::camera(scene, shot), place.x, place.y);
  return {x, y};
}
inline PointMm place_of(const Scene& scene, const Shot& shot, PhotoPoint pixel) {
  const auto [x, y] =
      photographed::apply(photographed::inverse(photographed::camera(scene, shot)), pixel.x, pixel.y);
  return {x, y};
}

// Whether all marks with the paper about them are in the picture.
inline bool sees_all_marks(const Scene& scene, const Shot& shot) {
  for (const PointMm& mark : scene.card.marks) {
    for (int i = 0; i < 8; ++i) {
      const double angle = i * std::numbers::pi / 4;
      const PhotoPoint at = seen_at(
          scene, shot, {mark.x + mark_clear * std::cos(angle), mark.y + mark_clear * std::sin(angle)});
      if (at.x < 1 || at.y < 1 || at.x > shot.width - 1 || at.y > shot.height - 1)
        return false;
    }
  }
  return true;
}

}  // namespace powderplan
