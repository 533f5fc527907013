#include "report/surface.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include "parallel.h"
#include "report/grain_chance.h"
#include "report/preview.h"
#include "report/quick_srgb.h"
#include "report/spot_looks.h"
#include "report/surface_light.h"
#include "report/uneven_cover.h"

namespace powderplan {
namespace {

// Pixels along the edge of a tile that is drawn at once.
constexpr int tile_edge = 32;
// Points along the edge of a pixel, at most: grains that would need more are not drawn one by one.
constexpr int most_points = 3;
// Nor are those of a part that holds more of them than this in a single cover.
constexpr double most_grains = 3e6;
// Covers of grains that make the texture of an even coat: more would lie hidden.
constexpr float texture_covers = 2.5F;
// Texture below this slope is flat glass.
constexpr double flat_slope = 0.01;
// Width, in grid points, over which the steps of the grid are smoothed out.
constexpr double softening = 1.25;
// How far grains stray over the edge of an opening, in grains.
constexpr double strays = 1.2;

// Of the grid, in a picture of the whole piece that is drawn at once.
constexpr std::size_t points_of_band = 1'500'000;

// How one layer is drawn.
struct LayerDrawing {
  GrainKind kind;
  SurfaceLight light;
  bool textured = false;
  std::optional<UnevenCover> uneven;  // where grains are too small to be drawn
};

// Smooth noise, -1..1, two values a place; `cell` mm apart.
struct Noise {
  std::uint64_t seed;
  double cell;
  [[nodiscard]] PointMm at(double x, double y) const {
    const double u = x / cell, v = y / cell;
    const double fu = std::floor(u), fv = std::floor(v);
    const auto iu = static_cast<std::int64_t>(fu), iv = static_cast<std::int64_t>(fv);
    const double su = u - fu, sv = v - fv;
    PointMm sum;
    for (int j = 0; j < 2; ++j) {
      for (int i = 0; i < 2; ++i) {
        const std::uint64_t bits = bits_of_place(seed, iu + i, iv + j);
        const double weight = (i == 0 ? 1 - su : su) * (j == 0 ? 1 - sv : sv);
        sum.x += weight * (static_cast<double>(bits & 0xffffffffU) * 0x1p-31 - 1);
        sum.y += weight * (static_cast<double>(bits >> 32) * 0x1p-31 - 1);
      }
    }
    return sum;
  }
};

class Painting {
 public:
  // `area`: of the whole picture, in mm2, of which this may be a band.
  Painting(const PlanRecord& record, const Moment& moment, View view, const BoxMm& part, double pitch,
           int width, int height, double area, std::uint64_t seed)
      : record_(record),
        part_(part),
        pitch_(pitch),
        grid_(record.separation.grid.pitch.value()),
        looks_(record, moment, view, wanted(width, height)),
        stray_{bits_of_place(seed, -1, -1), 1} {
    for (std::size_t i = 0; i < record.layers.size(); ++i) {
      const GrainKind kind = grains_of(record, i, moment, seed);
      layers_.push_back({kind, SurfaceLight(kind.values, view), false, std::nullopt});
    }
    choose_points(area);
  }

  // Draws the tile whose first pixel this is: put(x, y, look, mean), where the mean leaves grains out.
  template <class Put>
  void tile(int left, int top, int picture_width, int picture_height, const Put& put) const;

 private:
  // Spots that the part may show: those within a stray grain of it.
  [[nodiscard]] std::vector<std::uint8_t> wanted(int width, int height) const {
    const Image<std::uint32_t>& at = record_.spots.at();
    std::vector<std::uint8_t> spots(record_.spots.count(), 0);
    constexpr double around = 2;  // mm
    const auto place = [&](double mm, int last) {
      return std::clamp(static_cast<int>(std::floor(mm / grid_)), 0, last);
    };
    const int x0 = place(part_.left - around, at.width() - 1),
              y0 = place(part_.top - around, at.height() - 1);
    const int x1 = place(part_.left + width * pitch_ + around, at.width() - 1);
    const int y1 = place(part_.top + height * pitch_ + around, at.height() - 1);
    for (int y = y0; y <= y1; ++y) {
      for (int x = x0; x <= x1; ++x)
        spots[at.at(x, y)] = 1;
    }
    return spots;
  }

  void choose_points(double area);
  [[nodiscard]] std::size_t spot_at(double x, double y) const {
    const Image<std::uint32_t>& at = record_.spots.at();
    return at.at(std::clamp(static_cast<int>(std::floor(x / grid_)), 0, at.width() - 1),
                 std::clamp(static_cast<int>(std::floor(y / grid_)), 0, at.height() - 1));
  }
  void find_spots(const PointRows& rows, std::vector<std::size_t>& spots) const;

  const PlanRecord& record_;
  BoxMm part_;
  double pitch_, grid_;
  SpotLooks looks_;
  Noise stray_;
  double stray_mm_ = 0;
  std::vector<LayerDrawing> layers_;
  int points_ = 1;       // along the edge of a pixel
  bool soften_ = false;  // whether the grid's steps are finer than pixels and would show
};

void Painting::choose_points(double area) {
  double finest = 0, sum = 0;
  for (std::size_t i = 0; i < layers_.size(); ++i) {
    const GrainKind& kind = layers_[i].kind;
    sum += kind.cold.value();
    layers_[i].textured = steepest_slope(kind.values) > flat_slope;
    const double step = coarsest_step(kind).value(), grain = kind.cold.value();
    const bool drawn = pitch_ <= most_points * step && area <= most_grains * grain * grain;
    if (!drawn)
      layers_[i].uneven.emplace(kind, Millimetres(pitch_));
    else if (looks_.grained()[i] || layers_[i].textured)
      finest = finest > 0 ? std::min(finest, step) : step;
  }
  if (finest > 0)
    points_ = std::clamp(static_cast<int>(std::ceil(pitch_ / finest)), 1, most_points);
  // Without grains: one point for each point of the grid.
  points_ = std::max(points_, static_cast<int>(std::lround(pitch_ / grid_)));
  soften_ = pitch_ < grid_;
  if (soften_)
    points_ = std::max(points_, 2);
  if (!layers_.empty()) {
    const double grain = sum / static_cast<double>(layers_.size());
    stray_.cell = 2 * grain;
    stray_mm_ = pitch_ < 2 * grain ? strays * grain : 0;
  }
}

void Painting::find_spots(const PointRows& rows, std::vector<std::size_t>& spots) const {
  const auto offset = [&](int point) {
    return soften_ ? ((point % points_ + 0.5) / points_ - 0.5) * softening * grid_ : 0;
  };
  for (int y = 0; y < rows.height; ++y) {
    for (int x = 0; x < rows.width; ++x) {
      double at_x = rows.left + x * rows.step, at_y = rows.top + y * rows.step;
      if (stray_mm_ > 0) {
        const PointMm stray = stray_.at(at_x, at_y);
        at_x += stray.x * stray_mm_;
        at_y += stray.y * stray_mm_;
      }
      spots[static_cast<std::size_t>(y * rows.width + x)] = spot_at(at_x + offset(x), at_y + offset(y));
    }
  }
}

template <class Put>
void Painting::tile(int left, int top, int picture_width, int picture_height, const Put& put) const {
  const int width = std::min(tile_edge, picture_width - left),
            height = std::min(tile_edge, picture_height - top);
  const double step = pitch_ / points_;
  const PointRows rows{part_.left + left * pitch_ + step / 2, part_.top + top * pitch_ + step / 2, step,
                       width * points_, height * points_};
  const auto count = static_cast<std::size_t>(rows.width) * static_cast<std::size_t>(rows.height);
  std::vector<std::size_t> spots(count);
  find_spots(rows, spots);

  std::vector<std::vector<GrainPoint>> grains(layers_.size());
  std::vector<float> covers(count);
  // Nothing below this coat of a point is seen.
  std::vector<std::uint8_t> hidden_below(count, 0);
  for (std::size_t p = 0; p < count; ++p) {
    const std::span<const CoatLook> coats = looks_.coats(spots[p]);
    for (std::size_t c = 0; c < coats.size(); ++c) {
      if (!coats[c].grains)
        hidden_below[p] = static_cast<std::uint8_t>(c);
    }
  }
  for (std::size_t i = 0; i < layers_.size(); ++i) {
    const LayerDrawing& layer = layers_[i];
    bool any = false;
    std::fill(covers.begin(), covers.end(), 0.0F);
    for (std::size_t p = 0; p < count; ++p) {
      const std::span<const CoatLook> coats = looks_.coats(spots[p]);
      for (std::size_t c = coats.size(); c-- > 0;) {
        const CoatLook& coat = coats[c];
        const bool seen = c >= hidden_below[p];
        if (coat.layer == i && (coat.grains || (layer.textured && seen))) {
          covers[p] = coat.grains ? coat.covers : std::min(coat.covers, texture_covers);
          any = true;
        }
      }
    }
    if (!any)
      continue;
    grains[i].resize(count);
    if (layer.uneven)
      layer.uneven->lay(rows, points_, covers, grains[i]);
    else
      lay_grains(layer.kind, rows, covers, grains[i]);
  }

  for (int y = 0; y < height; ++y) {
    for (int x = 0; x < width; ++x) {
      Light3 sum, even;
      for (int v = 0; v < points_; ++v) {
        for (int u = 0; u < points_; ++u) {
          const auto p = static_cast<std::size_t>((y * points_ + v) * rows.width + x * points_ + u);
          std::size_t states = 1;
          std::array<float, most_mixed> shares{1}, even_shares{1};
          float shade = 1, gleam = 0;
          for (const CoatLook& coat : looks_.coats(spots[p])) {
            float cover = coat.cover;
            const LayerDrawing& layer = layers_[coat.layer];
            const GrainPoint* grain = grains[coat.layer].empty() ? nullptr : &grains[coat.layer][p];
            if (coat.grains) {
              cover = 1 - grain->open;
              for (std::size_t s = 0; s < states; ++s) {
                shares[s + states] = shares[s] * cover;
                shares[s] -= shares[s + states];
                even_shares[s + states] = even_shares[s] * coat.cover;
                even_shares[s] -= even_shares[s + states];
              }
              states *= 2;
            }
            float light = 1, mirrored = 0;
            if (grain != nullptr && layer.textured && layer.uneven) {
              light = layer.light.mean_shade(grain->slope_x, grain->slope_y);
            } else if (grain != nullptr && layer.textured) {
              // An even coat is flat where no grain of its texture was drawn.
              const float there = coat.grains ? 1 : 1 - grain->open;
              light += there * (layer.light.shade(grain->slope_x, grain->slope_y) - 1);
              mirrored = there * layer.light.gleam(grain->slope_x, grain->slope_y);
            }
            shade += cover * (light - shade);
            gleam += cover * (mirrored - gleam);
          }
          const Light3* colours = looks_.colours(spots[p]);
          Light3 mix;
          for (std::size_t s = 0; s < states; ++s) {
            mix = mix + colours[s] * shares[s];
            even = even + colours[s] * even_shares[s];
          }
          sum = sum + mix * shade + Light3{gleam, gleam, gleam};
        }
      }
      const float of_points = 1 / static_cast<float>(points_ * points_);
      put(left + x, top + y, sum * of_points, even * of_points);
    }
  }
}

// Draws a picture of a part by tiles.
template <class Put>
void draw(const Painting& painting, int width, int height, const Put& put) {
  const int across = (width + tile_edge - 1) / tile_edge, down = (height + tile_edge - 1) / tile_edge;
  for_each_block(static_cast<std::size_t>(across) * static_cast<std::size_t>(down), [&](std::size_t i) {
    const int at = static_cast<int>(i);
    painting.tile(at % across * tile_edge, at / across * tile_edge, width, height, put);
  });
}

Rgb8 encoded(const Light3& light) {
  return exact_rgb8(
      LinearRgb{static_cast<double>(light.r), static_cast<double>(light.g), static_cast<double>(light.b)});
}

// Spots with amounts rounded to steps of a fiftieth of a layer's load, which nobody sees in a picture to look
// at; of the points in the middle of those of a grid that may be coarser. Fades bring a spot for nearly every
// point otherwise.
Spots few_spots(const PlanRecord& record, const Grid& coarse) {
  constexpr Amount levels = 51;
  const Grid& fine = record.separation.grid;
  if (coarse == fine)
    return Spots(record.layers, fine.width, fine.height, levels);
  std::vector<Layer> layers(record.layers.size());
  for (std::size_t i = 0; i < layers.size(); ++i) {
    Image<Amount>& amount = layers[i].amount = Image<Amount>(coarse.width, coarse.height);
    for (std::size_t point = 0; point < amount.size(); ++point)
      amount[point] = record.layers[i].amount[middle_of(point, coarse, fine)];
  }
  return Spots(layers, coarse.width, coarse.height, levels);
}

// The same plan with amounts rounded, so that few spots differ, and no more than two points of the grid along
// a pixel.
PlanRecord with_few_spots(const PlanRecord& record, Millimetres pixel) {
  const Grid& grid = record.separation.grid;
  const int every = std::max(1, static_cast<int>(pixel / (grid.pitch * 2)));
  PlanRecord few = light_copy_without_spots(record);
  few.separation.grid = {record.width / std::max(1, grid.width / every), std::max(1, grid.width / every),
                         std::max(1, grid.height / every)};
  if (every == 1)
    few.separation.grid = grid;
  few.spots = few_spots(record, few.separation.grid);
  return few;
}

}  // namespace

Image<Rgb8> surface_part(const PlanRecord& record, const Moment& moment, View view, const BoxMm& part,
                         Millimetres pitch, std::uint64_t seed) {
  const auto pixels = [&](double length) {
    return std::max(1, static_cast<int>(std::lround(length / pitch.value())));
  };
  Image<Rgb8> picture(pixels(part.right - part.left), pixels(part.bottom - part.top));
  const double area = picture.width() * pitch.value() * picture.height() * pitch.value();
  const Painting painting(record, moment, view, part, pitch.value(), picture.width(), picture.height(), area,
                          seed);
  draw(painting, picture.width(), picture.height(),
       [&](int x, int y, const Light3& look, const Light3&) { picture.at(x, y) = encoded(look); });
  return picture;
}

Image<Rgb8> surface_of_piece(const PlanRecord& record, const Moment& moment, View view,
                             const Image<Rgb8>& mean, int width, std::uint64_t seed) {
  const BoxMm whole{0, 0, record.width.value(), record.height.value()};
  const Millimetres pitch = record.width / width;
  if (pitch < record.separation.grid.pitch)
    return surface_part(record, moment, view, whole, pitch, seed);
  Image<Rgb8> picture = shrunk(mean, width);
  const PlanRecord few = with_few_spots(record, pitch);
  const double area = picture.width() * pitch.value() * picture.height() * pitch.value();
  // Band by band, so that the looks of few spots are held at once.
  const int bands = static_cast<int>(few.spots.at().size() / points_of_band) + 1;
  for (int band = 0; band < bands; ++band) {
    const int top = picture.height() * band / bands, bottom = picture.height() * (band + 1) / bands;
    const BoxMm part{0, top * pitch.value(), record.width.value(), bottom * pitch.value()};
    const Painting painting(few, moment, view, part, pitch.value(), picture.width(), bottom - top, area,
                            seed);
    draw(painting, picture.width(), bottom - top, [&](int x, int y, const Light3& look, const Light3& even) {
      Rgb8& pixel = picture.at(x, top + y);
      const LinearRgb light = quick_linear(pixel);
      pixel = encoded(
          Light3{static_cast<float>(light.r), static_cast<float>(light.g), static_cast<float>(light.b)} +
          look + even * -1.0F);
    });
  }
  return picture;
}

}  // namespace powderplan
