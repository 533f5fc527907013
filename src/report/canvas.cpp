#include "report/canvas.h"

#include <cairo.h>

#include <algorithm>
#include <cstdint>

#include "problem.h"
#include "report/typesetter.h"
#include "utf8.h"

namespace powderplan {

Markup marked(const std::string& utf8) {
  const std::string plain = plain_text(utf8);
  char* escaped = g_markup_escape_text(plain.data(), static_cast<gssize>(plain.size()));
  const Markup text{escaped};
  g_free(escaped);
  return text;
}

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
  [[nodiscard]] SetText line(const std::string& utf8, const TextStyle& style) const {
    return typesetter.set(pen, utf8, {.size = style.size, .weight = style.weight});
  }
  template <class Text>
  [[nodiscard]] SetText lines(double width, const Text& text, const TextStyle& style) const {
    return typesetter.set(pen, text,
                          {.size = style.size, .weight = style.weight, .width = width, .align = style.align});
  }
  template <class Text>
  [[nodiscard]] double paragraph(double x, double y, double width, const Text& text,
                                 const TextStyle& style) const {
    const SetText words = lines(width, text, style);
    colour(style.colour);
    for (std::size_t i = 0; i < words.lines(); ++i)
      words.show(pen, i, x, y + static_cast<double>(i) * style.size * style.line_pitch);
    return y + height_of(words, style);
  }
  static double height_of(const SetText& words, const TextStyle& style) {
    return static_cast<double>(words.lines()) * style.size * style.line_pitch;
  }

  Typesetter typesetter;
  cairo_surface_t* pixels;
  cairo_t* pen;
};

Canvas::Canvas(int width, int height) : surface_(std::make_unique<Surface>(width, height)) {
  if (cairo_status(surface_->pen) != CAIRO_STATUS_SUCCESS)
    throw Problem(ProblemKind::other, "chart", cairo_status_to_string(cairo_status(surface_->pen)),
                  "make the chart smaller or close other programs");
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
  return surface_->line(utf8, style).width();
}

void Canvas::text(double x, double y, const std::string& utf8, const TextStyle& style) {
  const SetText words = surface_->line(utf8, style);
  const double width = words.width();
  const double shift = style.align == Align::left ? 0 : style.align == Align::right ? width : width / 2;
  surface_->colour(style.colour);
  words.show(surface_->pen, 0, x - shift, y);
}

void Canvas::text_within(double x, double y, double width, const std::string& utf8, const TextStyle& style) {
  const std::string plain = shortened(
      plain_text(utf8), [&](const std::string& shorter) { return text_width(shorter, style) <= width; });
  text(x, y, plain, style);
}

double Canvas::paragraph(double x, double y, double width, const std::string& utf8, const TextStyle& style) {
  return surface_->paragraph(x, y, width, utf8, style);
}

double Canvas::paragraph(double x, double y, double width, const Markup& text, const TextStyle& style) {
  return surface_->paragraph(x, y, width, text, style);
}

double Canvas::paragraph_height(double width, const std::string& utf8, const TextStyle& style) {
  return surface_->height_of(surface_->lines(width, utf8, style), style);
}

double Canvas::paragraph_height(double width, const Markup& text, const TextStyle& style) {
  return surface_->height_of(surface_->lines(width, text, style), style);
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
