#include "report/proof_page.h"

#include <algorithm>
#include <cmath>

#include "report/preview.h"

namespace powderplan {
namespace {

Rgb8 grey_of(double level) {
  const auto code = static_cast<std::uint8_t>(std::lround(255 * level));
  return {code, code, code};
}

}  // namespace

PdfProofPage::PdfProofPage(const std::string& title, Millimetres width, Millimetres height)
    : document_(title) {
  document_.page(width, height);
}

void PdfProofPage::text_within(PointMm place, double width, const std::string& utf8, const PageText& style) {
  document_.text_within(place, width, utf8, style);
}

double PdfProofPage::paragraph(PointMm place, double width, const std::string& utf8, const PageText& style) {
  return document_.paragraph(place, width, utf8, style);
}

double PdfProofPage::paragraph_height(double width, const std::string& utf8, const PageText& style) {
  return document_.paragraph_height(width, utf8, style);
}

void PdfProofPage::line(PointMm from, PointMm to, double width, double grey) {
  document_.line(from, to, {.width = width, .grey = grey});
}

void PdfProofPage::picture(const BoxMm& box, const Image<Rgb8>& picture) {
  document_.picture(box, picture, PictureCoding::photo);
}

PictureProofPage::PictureProofPage(Millimetres width, Millimetres height, Millimetres pitch)
    : scale_(1 / pitch.value()),
      canvas_(static_cast<int>(std::lround(width / pitch)), static_cast<int>(std::lround(height / pitch))) {}

TextStyle PictureProofPage::in_pixels(const PageText& style) const {
  return {.size = style.size * scale_,
          .weight = style.weight,
          .align = style.align,
          .colour = grey_of(style.grey),
          .line_pitch = style.line_pitch};
}

void PictureProofPage::text_within(PointMm place, double width, const std::string& utf8,
                                   const PageText& style) {
  canvas_.text_within(place.x * scale_, place.y * scale_, width * scale_, utf8, in_pixels(style));
}

double PictureProofPage::paragraph(PointMm place, double width, const std::string& utf8,
                                   const PageText& style) {
  return canvas_.paragraph(place.x * scale_, place.y * scale_, width * scale_, utf8, in_pixels(style)) /
         scale_;
}

double PictureProofPage::paragraph_height(double width, const std::string& utf8, const PageText& style) {
  return canvas_.paragraph_height(width * scale_, utf8, in_pixels(style)) / scale_;
}

void PictureProofPage::line(PointMm from, PointMm to, double width, double grey) {
  canvas_.line(from.x * scale_, from.y * scale_, to.x * scale_, to.y * scale_, std::max(1.0, width * scale_),
               grey_of(grey));
}

void PictureProofPage::picture(const BoxMm& box, const Image<Rgb8>& picture) {
  const auto pixel = [&](double mm) { return static_cast<int>(std::lround(mm * scale_)); };
  const int left = pixel(box.left), top = pixel(box.top);
  canvas_.picture(
      left, top,
      at_size(picture, std::max(1, pixel(box.right) - left), std::max(1, pixel(box.bottom) - top)));
}

}  // namespace powderplan
