#include "report/pdf_document.h"

#include <cairo-pdf.h>
#include <cairo.h>

#include "problem.h"
#include "raster/jpeg.h"
#include "report/files.h"
#include "report/typesetter.h"
#include "utf8.h"

namespace powderplan {
namespace {

constexpr double points_per_mm = 72 / 25.4;

constexpr int jpeg_quality = 90;  // of 100

[[noreturn]] void no_page(cairo_status_t status) {
  throw Problem(ProblemKind::other, "page", cairo_status_to_string(status),
                "close other programs and try again");
}

// cairo keeps the bytes until the document ends, and then calls for their end.
void attach(cairo_surface_t* pixels, const char* type, std::vector<std::uint8_t> bytes) {
  auto kept = std::make_unique<std::vector<std::uint8_t>>(std::move(bytes));
  const cairo_status_t status = cairo_surface_set_mime_data(
      pixels, type, kept->data(), kept->size(),
      [](void* data) { delete static_cast<std::vector<std::uint8_t>*>(data); }, kept.get());
  if (status != CAIRO_STATUS_SUCCESS)
    no_page(status);
  static_cast<void>(kept.release());  // cairo has it now
}

cairo_status_t append(void* bytes, const unsigned char* data, unsigned int length) {
  auto* out = static_cast<std::vector<std::uint8_t>*>(bytes);
  out->insert(out->end(), data, data + length);
  return CAIRO_STATUS_SUCCESS;
}

}  // namespace

struct PdfDocument::Surface {
  // A page's size is set before anything is drawn on it; the one here is never seen.
  Surface() : pdf(cairo_pdf_surface_create_for_stream(append, &bytes, 100, 100)), pen(cairo_create(pdf)) {}
  ~Surface() {
    cairo_destroy(pen);
    cairo_surface_destroy(pdf);
  }
  Surface(const Surface&) = delete;
  Surface& operator=(const Surface&) = delete;

  void check() const {
    const cairo_status_t status =
        cairo_status(pen) != CAIRO_STATUS_SUCCESS ? cairo_status(pen) : cairo_surface_status(pdf);
    if (status != CAIRO_STATUS_SUCCESS)
      no_page(status);
  }
  void grey(double level) const { cairo_set_source_rgb(pen, level, level, level); }
  void colour(const Rgb8& c) const { cairo_set_source_rgb(pen, c.r / 255.0, c.g / 255.0, c.b / 255.0); }
  [[nodiscard]] SetText line(const std::string& utf8, const PageText& style) const {
    return typesetter.set(pen, utf8, {.size = style.size, .weight = style.weight});
  }
  [[nodiscard]] SetText line(const Markup& text, const PageText& style) const {
    return typesetter.set(pen, text, {.size = style.size, .weight = style.weight});
  }
  template <class Text>
  [[nodiscard]] SetText lines(double width, const Text& text, const PageText& style) const {
    return typesetter.set(pen, text,
                          {.size = style.size, .weight = style.weight, .width = width, .align = style.align});
  }
  static double height_of(const SetText& words, const PageText& style) {
    return static_cast<double>(words.lines()) * style.size * style.line_pitch;
  }
  void outline(const PolygonMm& points) const {
    cairo_new_path(pen);
    for (const PointMm& p : points)
      cairo_line_to(pen, p.x, p.y);
    cairo_close_path(pen);
  }
  void stroke(const Stroke& how) const {
    grey(how.grey);
    cairo_set_line_width(pen, how.width);
    const double dashes[] = {how.dash, how.gap > 0 ? how.gap : how.dash};
    cairo_set_dash(pen, dashes, how.dash > 0 ? 2 : 0, 0);
    cairo_set_line_join(pen, CAIRO_LINE_JOIN_ROUND);
    cairo_stroke(pen);
  }
  void show(const SetText& words, std::size_t i, PointMm place, const PageText& style) const {
    if (style.halo > 0) {
      cairo_new_path(pen);
      words.outline(pen, i, place.x, place.y);
      stroke({.width = 2 * style.halo, .grey = 1});
    }
    grey(style.grey);
    words.show(pen, i, place.x, place.y);
    check();
  }
  void show(PointMm place, const std::string& utf8, const PageText& style) const {
    const SetText words = line(utf8, style);
    const double width = words.width();
    const double shift = style.align == Align::left ? 0 : style.align == Align::right ? width : width / 2;
    show(words, 0, {place.x - shift, place.y}, style);
  }
  template <class Text>
  [[nodiscard]] double paragraph(PointMm place, double width, const Text& text, const PageText& style) const {
    const SetText words = lines(width, text, style);
    for (std::size_t i = 0; i < words.lines(); ++i)
      show(words, i, {place.x, place.y + static_cast<double>(i) * style.size * style.line_pitch}, style);
    return place.y + height_of(words, style);
  }
  void circle(PointMm middle, double radius) const {
    constexpr double whole_turn = 2 * 3.14159265358979323846;
    cairo_new_path(pen);
    cairo_arc(pen, middle.x, middle.y, radius, 0, whole_turn);
    cairo_close_path(pen);
  }

  Typesetter typesetter;
  std::vector<std::uint8_t> bytes;  // before `pdf`, which writes to it
  cairo_surface_t* pdf;
  cairo_t* pen;
  int pages = 0;
};

PdfDocument::PdfDocument(const std::string& title) : surface_(std::make_unique<Surface>()) {
  surface_->check();
  // Text is measured alike before there is a page.
  cairo_scale(surface_->pen, points_per_mm, points_per_mm);
  cairo_pdf_surface_set_metadata(surface_->pdf, CAIRO_PDF_METADATA_TITLE, plain_text(title).c_str());
  // An empty date is left out; otherwise the time of writing would be in the file.
  cairo_pdf_surface_set_metadata(surface_->pdf, CAIRO_PDF_METADATA_CREATE_DATE, "");
}

PdfDocument::~PdfDocument() = default;

void PdfDocument::page(Millimetres width, Millimetres height) {
  if (surface_->pages > 0)
    cairo_show_page(surface_->pen);
  ++surface_->pages;
  cairo_pdf_surface_set_size(surface_->pdf, width.value() * points_per_mm, height.value() * points_per_mm);
  cairo_identity_matrix(surface_->pen);
  cairo_scale(surface_->pen, points_per_mm, points_per_mm);
  surface_->check();
}

void PdfDocument::bookmark(const std::string& text) {
  const std::string where = "page=" + std::to_string(surface_->pages);
  cairo_pdf_surface_add_outline(surface_->pdf, CAIRO_PDF_OUTLINE_ROOT, plain_text(text).c_str(),
                                where.c_str(), static_cast<cairo_pdf_outline_flags_t>(0));
  surface_->check();
}

void PdfDocument::line(PointMm from, PointMm to, const Stroke& stroke) {
  cairo_move_to(surface_->pen, from.x, from.y);
  cairo_line_to(surface_->pen, to.x, to.y);
  surface_->stroke(stroke);
}

void PdfDocument::line(const LineMm& points, const Stroke& stroke) {
  cairo_new_path(surface_->pen);
  for (const PointMm& p : points)
    cairo_line_to(surface_->pen, p.x, p.y);
  surface_->stroke(stroke);
}

void PdfDocument::shape(const PolygonMm& points, const Stroke& stroke) {
  surface_->outline(points);
  surface_->stroke(stroke);
}

void PdfDocument::fill(const PolygonMm& points, double grey) {
  surface_->outline(points);
  surface_->grey(grey);
  cairo_fill(surface_->pen);
}

void PdfDocument::fill(const PolygonMm& points, const Rgb8& colour) {
  surface_->outline(points);
  surface_->colour(colour);
  cairo_fill(surface_->pen);
}

void PdfDocument::circle(PointMm middle, double radius, const Stroke& stroke) {
  surface_->circle(middle, radius);
  surface_->stroke(stroke);
}

void PdfDocument::disc(PointMm middle, double radius, const Rgb8& colour) {
  surface_->circle(middle, radius);
  surface_->colour(colour);
  cairo_fill(surface_->pen);
}

void PdfDocument::picture(const BoxMm& box, const Image<Rgb8>& picture, PictureCoding coding) {
  const std::unique_ptr<cairo_surface_t, void (*)(cairo_surface_t*)> pixels(
      cairo_image_surface_create(CAIRO_FORMAT_RGB24, picture.width(), picture.height()),
      cairo_surface_destroy);
  if (cairo_surface_status(pixels.get()) != CAIRO_STATUS_SUCCESS)
    no_page(cairo_surface_status(pixels.get()));
  unsigned char* data = cairo_image_surface_get_data(pixels.get());
  const int stride = cairo_image_surface_get_stride(pixels.get());
  for (int y = 0; y < picture.height(); ++y) {
    auto* line = reinterpret_cast<std::uint32_t*>(data + static_cast<std::ptrdiff_t>(y) * stride);
    for (int x = 0; x < picture.width(); ++x) {
      const Rgb8& p = picture.at(x, y);
      line[x] = (std::uint32_t{p.r} << 16) | (std::uint32_t{p.g} << 8) | p.b;
    }
  }
  cairo_surface_mark_dirty(pixels.get());
  // By this cairo knows a picture that is there already.
  const auto* values = reinterpret_cast<const std::uint8_t*>(picture.data());
  static_assert(sizeof(Rgb8) == 3);
  const std::string id = sha256({values, 3 * picture.size()}) +
                         (coding == PictureCoding::photo ? " photo " : " exact ") +
                         std::to_string(picture.width());
  attach(pixels.get(), CAIRO_MIME_TYPE_UNIQUE_ID, {id.begin(), id.end()});
  if (coding == PictureCoding::photo)
    attach(pixels.get(), CAIRO_MIME_TYPE_JPEG, encode_jpeg(picture, jpeg_quality));
  cairo_t* pen = surface_->pen;
  cairo_save(pen);
  cairo_translate(pen, box.left, box.top);
  cairo_scale(pen, (box.right - box.left) / picture.width(), (box.bottom - box.top) / picture.height());
  cairo_set_source_surface(pen, pixels.get(), 0, 0);
  cairo_pattern_set_filter(cairo_get_source(pen),
                           coding == PictureCoding::exact ? CAIRO_FILTER_NEAREST : CAIRO_FILTER_BEST);
  cairo_rectangle(pen, 0, 0, picture.width(), picture.height());
  cairo_fill(pen);
  cairo_restore(pen);
  surface_->check();
}

double PdfDocument::text_width(const std::string& utf8, const PageText& style) {
  return surface_->line(utf8, style).width();
}

double PdfDocument::text_width(const Markup& text, const PageText& style) {
  return surface_->line(text, style).width();
}

void PdfDocument::text(PointMm place, const std::string& utf8, const PageText& style) {
  surface_->show(place, utf8, style);
}

void PdfDocument::text_within(PointMm place, double width, const std::string& utf8, const PageText& style) {
  const std::string plain = shortened(
      plain_text(utf8), [&](const std::string& shorter) { return text_width(shorter, style) <= width; });
  surface_->show(place, plain, style);
}

double PdfDocument::paragraph(PointMm place, double width, const std::string& utf8, const PageText& style) {
  return surface_->paragraph(place, width, utf8, style);
}

double PdfDocument::paragraph(PointMm place, double width, const Markup& text, const PageText& style) {
  return surface_->paragraph(place, width, text, style);
}

double PdfDocument::paragraph_height(double width, const std::string& utf8, const PageText& style) {
  return surface_->height_of(surface_->lines(width, utf8, style), style);
}

double PdfDocument::paragraph_height(double width, const Markup& text, const PageText& style) {
  return surface_->height_of(surface_->lines(width, text, style), style);
}

void PdfDocument::clip(PointMm place, double scale, const BoxMm& box) {
  cairo_save(surface_->pen);
  cairo_translate(surface_->pen, place.x, place.y);
  cairo_scale(surface_->pen, scale, scale);
  cairo_new_path(surface_->pen);
  cairo_rectangle(surface_->pen, box.left, box.top, box.right - box.left, box.bottom - box.top);
  cairo_clip(surface_->pen);
}

void PdfDocument::unclip() {
  cairo_restore(surface_->pen);
}

void PdfDocument::text_upwards(PointMm place, const std::string& utf8, const PageText& style) {
  constexpr double quarter_turn = 3.14159265358979323846 / 2;
  cairo_save(surface_->pen);
  cairo_translate(surface_->pen, place.x, place.y);
  cairo_rotate(surface_->pen, -quarter_turn);
  surface_->show({0, 0}, utf8, style);
  cairo_restore(surface_->pen);
}

std::vector<std::uint8_t> PdfDocument::bytes() {
  if (surface_->pages > 0)
    cairo_show_page(surface_->pen);
  cairo_surface_finish(surface_->pdf);
  const cairo_status_t status = cairo_surface_status(surface_->pdf);
  if (status != CAIRO_STATUS_SUCCESS)
    no_page(status);
  return surface_->bytes;
}

}  // namespace powderplan
