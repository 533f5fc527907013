// Pages at true size (PDF by cairo, text by Pango): lines, shapes, pictures and text placed in millimetres.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "raster/image.h"
#include "report/canvas.h"
#include "shape.h"
#include "units.h"

namespace powderplan {

struct PageText {
  double size = 3.5;  // of the letters' em, mm
  Weight weight = Weight::normal;
  Align align = Align::left;
  double grey = 0;           // 0 black, 1 white
  double halo = 0;           // width of white round the letters, mm: they stay readable on lines
  double line_pitch = 1.32;  // of paragraphs, ems
};

struct Stroke {
  double width = 0.3;  // mm
  double grey = 0;
  double dash = 0;  // length of dashes, mm; 0 = a line without gaps
  double gap = 0;   // between them, mm; 0 = as long as they are
};

// How a picture lies in the file.
enum class PictureCoding {
  exact,  // every pixel as it is: for drawings
  photo,  // JPEG, finer than the eye sees: a tenth of the size where colours run into one another
};

// Places and lengths are mm from the top left corner of the page, y down. The same calls give the same bytes:
// there is no date in the file.
class PdfDocument {
 public:
  // Throws Problem (other) when there is no memory for it, as may every call that draws.
  explicit PdfDocument(const std::string& title);
  ~PdfDocument();
  PdfDocument(const PdfDocument&) = delete;
  PdfDocument& operator=(const PdfDocument&) = delete;

  // The first page, or the next. All that draws needs a page; text can be measured before.
  void page(Millimetres width, Millimetres height);
  // An entry of the reader's list of contents that leads to this page.
  void bookmark(const std::string& text);

  void line(PointMm from, PointMm to, const Stroke& stroke);
  void line(const LineMm& points, const Stroke& stroke);
  void shape(const PolygonMm& points, const Stroke& stroke);
  void fill(const PolygonMm& points, double grey);
  void fill(const PolygonMm& points, const Rgb8& colour);
  void circle(PointMm middle, double radius, const Stroke& stroke);
  void disc(PointMm middle, double radius, const Rgb8& colour);
  // The whole picture, stretched to fill the box. One that is on several pages is in the file once.
  void picture(const BoxMm& box, const Image<Rgb8>& picture, PictureCoding coding);
  // `place` is on the baseline. Text is UTF-8; what is not is shown as a question mark.
  void text(PointMm place, const std::string& utf8, const PageText& style);
  // Cut, with an ellipsis, where it would be wider.
  void text_within(PointMm place, double width, const std::string& utf8, const PageText& style);
  // Words broken into lines, those too long for one within; returns the baseline after the last line.
  double paragraph(PointMm place, double width, const std::string& utf8, const PageText& style);
  double paragraph(PointMm place, double width, const Markup& text, const PageText& style);
  // How much further down it ends, without drawing it.
  [[nodiscard]] double paragraph_height(double width, const std::string& utf8, const PageText& style);
  [[nodiscard]] double paragraph_height(double width, const Markup& text, const PageText& style);
  [[nodiscard]] double text_width(const std::string& utf8, const PageText& style);
  [[nodiscard]] double text_width(const Markup& text, const PageText& style);

  // Until `unclip`, the page lies moved and turned: (0, 0) is at `place`, a length of 1 is `scale` mm, and
  // nothing is drawn outside the box (in the moved lengths).
  void clip(PointMm place, double scale, const BoxMm& box);
  void unclip();
  // Text that runs upwards from `place`.
  void text_upwards(PointMm place, const std::string& utf8, const PageText& style);

  // Ends the document.
  std::vector<std::uint8_t> bytes();

 private:
  struct Surface;
  std::unique_ptr<Surface> surface_;
};

}  // namespace powderplan
