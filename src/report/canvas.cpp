#include "report/canvas.h"

#include <cairo.h>

#include <algorithm>
#include <cstdint>

#include "problem.h"
#include "report/utf8.h"

namespace powderplan {

struct Canvas::Surface {
  Surface(int width, int height)
      : pixels(cairo_image_surface_create(CAIRO_FORMAT_RGB24, width, height)), pen(cairo_create(pixels)) {}
  ~Surface() {
    cairo_destroy(pen);
    cairo_surface_destroy(pixels);
  }
  Surface(const Surface&) = delete;
  Surface& operator=(const Surface&) = delete;

  void colour(const Rgb8& c) const { cairo_set_source_rgb(pen, c.r / 255.0, c.g / 255.0, c.b / 255.0); }
  void font(const TextStyle& style) const {
    cairo_select_font_face(pen, "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL,
                           style.weight == Weight::bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(pen, style.size);
  }
  [[nodiscard]] double advance(const std::string& plain, const TextStyle& style) const {
    font(style);
    cairo_text_extents_t extents;
    cairo_text_extents(pen, plain.c_str(), &extents);
    return extents.x_advance;
  }

  cairo_surface_t* pixels;
  cairo_t* pen;
};

Canvas::Canvas(int width, int height) : surface_(std::make_unique<Surface>(width, height)) {
  if (cairo_status(surface_->pen) != CAIRO_STATUS_SUCCESS)
    throw Problem(ProblemKind::other, "chart", cairo_status_to_string(cairo_status(surface_->pen)),
                  "make the chart smaller or close other programs");
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_antialias(options, CAIRO_ANTIALIAS_GRAY);
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_set_font_options(surface_->pen, options);
  cairo_font_options_destroy(options);
  fill(0, 0, width, height, {255, 255, 255});
}

Canvas::~Canvas() = default;

void Canvas::fill(double x, double y, double width, double height, const Rgb8& colour) {
  surface_->colour(colour);
  cairo_rectangle(surface_->pen, x, y, width, height);
  cairo_fill(surface_->pen);
}

void Canvas::frame(double x, double y, double width, double height, double thickness, const Rgb8& colour) {
  fill(x, y, width, thickness, colour);
  fill(x, y + height - thickness, width, thickness, colour);
  fill(x, y, thickness, height, colour);
  fill(x + width - thickness, y, thickness, height, colour);
}

void Canvas::line(double x0, double y0, double x1, double y1, double thickness, const Rgb8& colour) {
  surface_->colour(colour);
  cairo_set_line_width(surface_->pen, thickness);
  cairo_move_to(surface_->pen, x0, y0);
  cairo_line_to(surface_->pen, x1, y1);
  cairo_stroke(surface_->pen);
}

double Canvas::text_width(const std::string& utf8, const TextStyle& style) {
  return surface_->advance(plain_text(utf8), style);
}

void Canvas::text(double x, double y, const std::string& utf8, const TextStyle& style) {
  const std::string plain = plain_text(utf8);
  const double width = surface_->advance(plain, style);
  const double shift = style.align == Align::left ? 0 : style.align == Align::right ? width : width / 2;
  surface_->colour(style.colour);
  cairo_move_to(surface_->pen, x - shift, y);
  cairo_show_text(surface_->pen, plain.c_str());
}

void Canvas::text_within(double x, double y, double width, const std::string& utf8, const TextStyle& style) {
  const std::string plain = shortened(plain_text(utf8), [&](const std::string& shorter) {
    return surface_->advance(shorter, style) <= width;
  });
  text(x, y, plain, style);
}

void Canvas::picture(int x, int y, const Image<Rgb8>& picture) {
  cairo_surface_flush(surface_->pixels);
  unsigned char* data = cairo_image_surface_get_data(surface_->pixels);
  const int stride = cairo_image_surface_get_stride(surface_->pixels);
  const int width = cairo_image_surface_get_width(surface_->pixels);
  const int height = cairo_image_surface_get_height(surface_->pixels);
  for (int row = std::max(0, -y); row < std::min(picture.height(), height - y); ++row) {
    auto* line = reinterpret_cast<std::uint32_t*>(data + static_cast<std::ptrdiff_t>(row + y) * stride);
    for (int column = std::max(0, -x); column < std::min(picture.width(), width - x); ++column) {
      const Rgb8& p = picture.at(column, row);
      line[column + x] = (std::uint32_t{p.r} << 16) | (std::uint32_t{p.g} << 8) | p.b;
    }
  }
  cairo_surface_mark_dirty(surface_->pixels);
}

Image<Rgb8> Canvas::image() const {
  cairo_surface_flush(surface_->pixels);
  const unsigned char* data = cairo_image_surface_get_data(surface_->pixels);
  const int stride = cairo_image_surface_get_stride(surface_->pixels);
  Image<Rgb8> image(cairo_image_surface_get_width(surface_->pixels),
                    cairo_image_surface_get_height(surface_->pixels));
  for (int y = 0; y < image.height(); ++y) {
    const auto* line = reinterpret_cast<const std::uint32_t*>(data + static_cast<std::ptrdiff_t>(y) * stride);
    for (int x = 0; x < image.width(); ++x)
      image.at(x, y) = {static_cast<std::uint8_t>(line[x] >> 16), static_cast<std::uint8_t>(line[x] >> 8),
                        static_cast<std::uint8_t>(line[x])};
  }
  return image;
}

}  // namespace powderplan
