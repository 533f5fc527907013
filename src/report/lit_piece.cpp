#include "report/lit_piece.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "colour/observer.h"
#include "optics/levelling.h"
#include "optics/surface.h"
#include "parallel.h"
#include "report/quick_srgb.h"
#include "report/surface_light.h"

namespace powderplan {
namespace {

// How dark the deepest shadow on the wall is: the rest is the light of the room.
constexpr double shadow_depth = 0.5;
// The sun-like spot of light is wide: a shadow is blurred by this share of the distance it falls from.
constexpr double shadow_blur = 0.55;
// Light that the sheet carries to its edge in a window, as share of white, and how deep it is seen.
constexpr double edge_glow = 0.30, glow_depth = 0.35;
// Window light, a little cool: white is what the piece's own colours are measured by, and no glass is lighter
// than what is seen beside it.
constexpr LinearRgb window_top{0.97, 0.985, 1.0}, window_bottom{0.92, 0.94, 0.955};

struct Slope {
  double x, y;
};

double smooth_step(double x) {
  const double t = std::clamp(x, 0.0, 1.0);
  return t * t * (3 - 2 * t);
}

// A normal distribution's share below x.
double normal_share(double x) {
  return 0.5 * std::erfc(-x / std::numbers::sqrt2);
}

// A matt surface of this slope: what the light adds or takes, as of SurfaceLight::shade, but for steep slopes
// too.
double lit(const Slope& slope) {
  const double length = std::sqrt(1 + slope.x * slope.x + slope.y * slope.y);
  const double towards = (-slope.x * to_the_light.x - slope.y * to_the_light.y + to_the_light.z) / length;
  return 1 - straight_light + straight_light * std::max(0.0, towards) / to_the_light.z;
}

class Scene {
 public:
  Scene(const PlanRecord& record, const Moment& moment, View view)
      : width_(record.width.value()),
        height_(record.height.value()),
        view_(view),
        radius_(edge_radius(record, moment).value()),
        thickness_(sheet_of(record).thickness.value()) {
    const Observer observer(light_of(record));
    wall_ = to_linear_rgb(observer(record.backing));
    const Spectrum edge = bare_sheet(ground_of(record, View::window)).transmit;
    glow_ = to_linear_rgb(observer(edge));
    for (std::size_t i = 0; i < record.layers.size(); ++i) {
      const bool there = record.firing_plan.places[i].firing < moment.firings_done;
      if (there)
        matte_ = std::max(matte_, values_after(record, i, moment.firings_done).matte);
    }
  }

  // Shares of the light that a rectangle's width, or height, hides at a place along it: of the piece's upper
  // face, thrown away from the light, and of its foot.
  struct Hidden {
    double far, near;
  };
  [[nodiscard]] Hidden hidden_across(double x) const { return hidden(x, to_the_light.x, width_); }
  [[nodiscard]] Hidden hidden_down(double y) const { return hidden(y, to_the_light.y, height_); }

  // Beside the piece, `y` mm from its top.
  [[nodiscard]] LinearRgb around(double y, const Hidden& across, const Hidden& down) const {
    if (view_ == View::window) {
      const double low = smooth_step((y + 0.2 * height_) / (1.4 * height_));
      return {window_top.r + (window_bottom.r - window_top.r) * low,
              window_top.g + (window_bottom.g - window_top.g) * low,
              window_top.b + (window_bottom.b - window_top.b) * low};
    }
    const double dark = 1 - shadow_depth * std::max(across.far * down.far, 0.7 * across.near * down.near);
    return {wall_.r * dark, wall_.g * dark, wall_.b * dark};
  }

  // On the piece.
  [[nodiscard]] LinearRgb on(const LinearRgb& colour, double x, double y) const {
    const double from_left = x, from_right = width_ - x, from_top = y, from_bottom = height_ - y;
    const double nearest = std::min(std::min(from_left, from_right), std::min(from_top, from_bottom));
    if (view_ == View::window) {
      constexpr double seen_glow = 12;  // beyond so many depths nothing is left
      if (nearest > std::max(radius_, seen_glow * glow_depth * thickness_ * 0.5))
        return colour;
      const double glow = edge_glow * std::exp(-nearest / (glow_depth * thickness_ * 0.5));
      const double kept = nearest < radius_ ? 1 - 0.25 * (1 - nearest / radius_) : 1;
      return {colour.r * kept + glow_.r * glow, colour.g * kept + glow_.g * glow,
              colour.b * kept + glow_.b * glow};
    }
    const double room = mirrored_room(x, y);
    if (nearest > radius_)
      return {colour.r + room, colour.g + room, colour.b + room};
    const Slope slope{rim(from_left) - rim(from_right), rim(from_top) - rim(from_bottom)};
    const double light = lit(slope);
    const double mirrored = mirrored_in_rim(slope) + room;
    return {colour.r * light + mirrored, colour.g * light + mirrored, colour.b * light + mirrored};
  }

 private:
  // How steeply a rounded edge rises at a distance from the outline.
  [[nodiscard]] double rim(double from_edge) const {
    if (from_edge >= radius_)
      return 0;
    constexpr double steepest = 3;
    const double in = 1 - std::max(0.0, from_edge) / radius_;
    return std::min(steepest, in / std::sqrt(std::max(1e-6, 1 - in * in)));
  }

  [[nodiscard]] Hidden hidden(double at, double to_light, double length) const {
    const double reach = 1.1 * thickness_ / to_the_light.z;
    const auto share = [&](double place, double blur) {
      return normal_share(place / blur) - normal_share((place - length) / blur);
    };
    return {share(at + to_light * reach, shadow_blur * thickness_), share(at, 0.25 * thickness_)};
  }

  [[nodiscard]] double mirrored_in_rim(const Slope& slope) const {
    const double dx = slope.x + to_the_light.x / (1 + to_the_light.z);
    const double dy = slope.y + to_the_light.y / (1 + to_the_light.z);
    constexpr double width = 0.3;
    if (slope.x == 0 && slope.y == 0)
      return 0;
    return glass_surface().outer * 4 * std::exp(-(dx * dx + dy * dy) / (width * width));
  }

  // A window somewhere behind the viewer, leaning, out of focus: only a gloss surface mirrors it.
  [[nodiscard]] double mirrored_room(double x, double y) const {
    const double unit = std::min(width_, height_);
    const double u = (x - 0.36 * width_) / unit + 0.28 * (y - 0.4 * height_) / unit;
    const double v = (y - 0.34 * height_) / unit;
    const auto pane = [](double at, double half) { return smooth_step((half - std::abs(at)) / 0.06 + 0.5); };
    const double frame = pane(u, 0.2) * pane(v, 0.24);
    return most_mirrored * (1 - matte_) * frame;
  }

  double width_, height_;
  View view_;
  double radius_, thickness_;
  double matte_ = 0;  // of the roughest layer that shows
  LinearRgb wall_, glow_;
};

}  // namespace

Millimetres edge_radius(const PlanRecord& record, const Moment& moment) {
  Millimetres flow;
  for (std::size_t k = 0; k < moment.firings_done; ++k)
    flow += record.firing_plan.firings[k].flow;
  const Millimetres thickness = sheet_of(record).thickness;
  return std::max(seamed_edge, thickness * (0.5 * (1 - relief_left(flow, thickness))));
}

Image<Rgb8> lit_piece(const PlanRecord& record, const Moment& moment, View view, const Image<Rgb8>& surface,
                      const Margins& margins) {
  const double pitch = record.width.value() / surface.width();
  const auto pixels = [&](double mm) { return static_cast<int>(std::lround(mm / pitch)); };
  const int left = pixels(margins.left), top = pixels(margins.top);
  Image<Rgb8> picture(surface.width() + left + pixels(margins.right),
                      surface.height() + top + pixels(margins.bottom));
  const Scene scene(record, moment, view);
  const double pitch_y = record.height.value() / surface.height();
  std::vector<Scene::Hidden> across;
  across.reserve(static_cast<std::size_t>(picture.width()));
  for (int x = 0; x < picture.width(); ++x)
    across.push_back(scene.hidden_across((x - left + 0.5) * pitch));
  for_each_row_band(picture.height(), [&](int begin, int end) {
    for (int y = begin; y < end; ++y) {
      const double mm_y = (y - top + 0.5) * pitch_y;
      const Scene::Hidden down = scene.hidden_down(mm_y);
      for (int x = 0; x < picture.width(); ++x) {
        const int at_x = x - left, at_y = y - top;
        const bool on = at_x >= 0 && at_y >= 0 && at_x < surface.width() && at_y < surface.height();
        picture.at(x, y) =
            quick_rgb8(on ? scene.on(quick_linear(surface.at(at_x, at_y)), (at_x + 0.5) * pitch, mm_y)
                          : scene.around(mm_y, across[static_cast<std::size_t>(x)], down));
      }
    }
  });
  return picture;
}

}  // namespace powderplan
