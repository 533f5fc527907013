#include "report/pdf_document.h"

#include <cairo-pdf.h>
#include <cairo.h>

#include <sstream>

#include "problem.h"
#include "report/utf8.h"

namespace powderplan {
namespace {

constexpr double points_per_mm = 72 / 25.4;
constexpr double line_pitch = 1.32;  // of a paragraph, of the em

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
      throw Problem(ProblemKind::other, "templates", cairo_status_to_string(status),
                    "close other programs and try again");
  }
  void grey(double level) const { cairo_set_source_rgb(pen, level, level, level); }
  void font(const PageText& style) const {
    cairo_select_font_face(pen, "DejaVu Sans", CAIRO_FONT_SLANT_NORMAL,
                           style.weight == Weight::bold ? CAIRO_FONT_WEIGHT_BOLD : CAIRO_FONT_WEIGHT_NORMAL);
    cairo_set_font_size(pen, style.size);
  }
  [[nodiscard]] double advance(const std::string& plain, const PageText& style) const {
    font(style);
    cairo_text_extents_t extents;
    cairo_text_extents(pen, plain.c_str(), &extents);
    return extents.x_advance;
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
    const double dashes[] = {how.dash};
    cairo_set_dash(pen, dashes, how.dash > 0 ? 1 : 0, 0);
    cairo_set_line_join(pen, CAIRO_LINE_JOIN_ROUND);
    cairo_stroke(pen);
  }
  void show(PointMm place, const std::string& plain, const PageText& style) const {
    const double width = advance(plain, style);
    const double shift = style.align == Align::left ? 0 : style.align == Align::right ? width : width / 2;
    if (style.halo > 0) {
      cairo_new_path(pen);
      cairo_move_to(pen, place.x - shift, place.y);
      cairo_text_path(pen, plain.c_str());
      stroke({.width = 2 * style.halo, .grey = 1});
    }
    grey(style.grey);
    cairo_move_to(pen, place.x - shift, place.y);
    cairo_show_text(pen, plain.c_str());
    check();
  }

  std::vector<std::uint8_t> bytes;  // before `pdf`, which writes to it
  cairo_surface_t* pdf;
  cairo_t* pen;
  int pages = 0;
};

PdfDocument::PdfDocument(const std::string& title) : surface_(std::make_unique<Surface>()) {
  surface_->check();
  cairo_pdf_surface_set_metadata(surface_->pdf, CAIRO_PDF_METADATA_TITLE, plain_text(title).c_str());
  // An empty date is left out; otherwise the time of writing would be in the file.
  cairo_pdf_surface_set_metadata(surface_->pdf, CAIRO_PDF_METADATA_CREATE_DATE, "");
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_set_font_options(surface_->pen, options);
  cairo_font_options_destroy(options);
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

void PdfDocument::shape(const PolygonMm& points, const Stroke& stroke) {
  surface_->outline(points);
  surface_->stroke(stroke);
}

void PdfDocument::fill(const PolygonMm& points, double grey) {
  surface_->outline(points);
  surface_->grey(grey);
  cairo_fill(surface_->pen);
}

void PdfDocument::circle(PointMm middle, double radius, const Stroke& stroke) {
  constexpr double whole_turn = 2 * 3.14159265358979323846;
  cairo_new_path(surface_->pen);
  cairo_arc(surface_->pen, middle.x, middle.y, radius, 0, whole_turn);
  cairo_close_path(surface_->pen);
  surface_->stroke(stroke);
}

double PdfDocument::text_width(const std::string& utf8, const PageText& style) {
  return surface_->advance(plain_text(utf8), style);
}

void PdfDocument::text(PointMm place, const std::string& utf8, const PageText& style) {
  surface_->show(place, plain_text(utf8), style);
}

void PdfDocument::text_within(PointMm place, double width, const std::string& utf8, const PageText& style) {
  const std::string plain = shortened(plain_text(utf8), [&](const std::string& shorter) {
    return surface_->advance(shorter, style) <= width;
  });
  surface_->show(place, plain, style);
}

double PdfDocument::paragraph(PointMm place, double width, const std::string& utf8, const PageText& style) {
  std::istringstream words(plain_text(utf8));
  std::string word, line;
  double y = place.y;
  while (words >> word) {
    std::string longer = line;
    if (!line.empty())
      longer += ' ';
    longer += word;
    if (!line.empty() && surface_->advance(longer, style) > width) {
      text_within({place.x, y}, width, line, style);
      y += style.size * line_pitch;
      line = word;
    } else {
      line = longer;
    }
  }
  text_within({place.x, y}, width, line, style);
  return y + style.size * line_pitch;
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
  surface_->show({0, 0}, plain_text(utf8), style);
  cairo_restore(surface_->pen);
}

std::vector<std::uint8_t> PdfDocument::bytes() {
  if (surface_->pages > 0)
    cairo_show_page(surface_->pen);
  cairo_surface_finish(surface_->pdf);
  const cairo_status_t status = cairo_surface_status(surface_->pdf);
  if (status != CAIRO_STATUS_SUCCESS)
    throw Problem(ProblemKind::other, "templates", cairo_status_to_string(status),
                  "close other programs and try again");
  return surface_->bytes;
}

}  // namespace powderplan
